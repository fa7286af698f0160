"""What follows from an action by itself: a step begins, a gate opens, holds or shuts again."""

from baycompanion.job.draft import Draft
from baycompanion.job.events import Begun, GateHeld, GateOpened, GateShutAgain, Overridden, Reopened
from baycompanion.job.gates import gates_before, gates_resting_on, missing
from baycompanion.job.order import next_step, rests_on
from baycompanion.procedure.model import Gate
from baycompanion.procedure.steps import Step


def arrive(draft: Draft) -> None:
    """Say that the next step begins, or which gates hold it."""
    state = draft.state
    if state.status != "open" or state.accepted_at is None or state.gap is not None:
        return
    step = next_step(draft.procedure, state)
    at = step.id if step is not None else list(draft.procedure.steps)[-1]
    gates = gates_before(draft.procedure, state, step)
    passed = [_pass_gate(draft, gate, at) for gate in gates]
    if step is not None and all(passed) and draft.state.current != step.id:
        draft.say(Begun(step=step.id, phase=draft.procedure.phase_of[step.id].phase))


def _pass_gate(draft: Draft, gate: Gate, step: str) -> bool:
    """Say that `gate` opens or holds, when that is new; return whether `step` may begin."""
    track = draft.state.gates.get(gate.gate)
    standing = track.standing if track is not None else None
    things = missing(draft.procedure, draft.state, gate)
    if standing == "overridden":
        return True
    if not things:
        if standing != "open":
            draft.say(GateOpened(gate=gate.gate, step=step))
        return True
    words = [thing.words for thing in things]
    held_here = track is not None and standing == "held" and track.step == step
    if not held_here or draft.state.current is not None or _changed(draft, gate, words):
        draft.say(GateHeld(gate=gate.gate, step=step, missing=words))
    return False


def _changed(draft: Draft, gate: Gate, words: list[str]) -> bool:
    """Return whether this very decision changed what a held gate waits for."""
    before = draft.before
    return [thing.words for thing in missing(draft.procedure, before, gate)] != words


def reopen(draft: Draft, step: Step, reason: str) -> None:
    """Reopen `step`, what was held against its answer, and the gates that rested on them.

    The gates shut first and the step comes last, so that a crash between two lines leaves
    nothing open that rests on a step already reopened.
    """
    _shut_again(draft, step)
    for other in draft.procedure.steps.values():
        if step.id in rests_on(draft.procedure, other) and draft.state.track(other.id).finished:
            reopen(draft, other, f"It rests on “{step.text}”, which was reopened.")
    draft.say(Reopened(step=step.id, reason=reason))


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
