"""Doing a finished step again: what is done again with it, and which gates shut."""

from baycompanion.job.deciding.draft import Draft
from baycompanion.job.events.kinds import GateShutAgain, Overridden, Reopened
from baycompanion.job.state.gates import gates_resting_on
from baycompanion.job.state.order import is_over, rests_on
from baycompanion.procedure.model import Procedure, Standing
from baycompanion.procedure.steps import Step

HANDS_ON = ("do", "check", "measure", "wait")
"""Verbs of work on the vehicle, which a standing condition protects. Who counts, writes or looks
touches nothing."""


def reopen(draft: Draft, step: Step, reason: str, lines_kept: bool = False) -> None:
    """Reopen `step`, what was held against its answer, and the gates that rested on them.

    The gates shut first and the step comes last, so that a crash between two lines leaves
    nothing open that rests on a step already reopened. With `lines_kept`, lines that were
    answered keep their answers, and those that are new are asked.
    """
    _shut_again(draft, step)
    for other in draft.procedure.steps.values():
        if step.id in rests_on(draft.procedure, other) and draft.state.track(other.id).finished:
            why = f"It rests on “{step.text}”, which was reopened."
            reopen(draft, other, why, lines_kept)
    draft.say(Reopened(step=step.id, reason=reason, lines_kept=lines_kept or None))


def lies_within(procedure: Procedure, standing: Standing, step: Step) -> bool:
    """Return whether `step` is work on the vehicle that `standing` protects."""
    number = procedure.number
    between = number[standing.begins] < number[step.id] < number[standing.ends]
    return between and step.verb in HANDS_ON


def stand_again(draft: Draft, step: Step) -> bool:
    """Reopen both ends of a standing condition that is over and that `step` needs again.

    Return whether there is one. It is what protects whoever does the work: the lead that is
    joined anew was joined with the battery off, and the battery is back on by now.
    """
    for standing in draft.procedure.standing:
        if lies_within(draft.procedure, standing, step) and is_over(draft.state, standing):
            why = f"{standing.says} It must be so again for “{step.text}”."
            for name in (standing.ends, standing.begins):
                if draft.state.track(name).finished:
                    reopen(draft, draft.procedure.steps[name], why)
            return True
    return False


def _shut_again(draft: Draft, step: Step) -> None:
    """Shut every gate that rested on `step`, overridden ones too."""
    resting = {gate.gate for gate in gates_resting_on(draft.procedure, step)}
    for name, track in draft.state.gates.items():
        if track.standing not in ("open", "overridden"):
            continue
        if name in resting or _overridden_without(track.override, step.id):
            draft.say(GateShutAgain(gate=name, step=step.id))


def _overridden_without(override: Overridden | None, step: str) -> bool:
    return override is not None and step in override.steps
