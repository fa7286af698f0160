"""What follows from an action by itself: a step begins, a gate opens, holds or shuts again."""

from baycompanion.job.draft import Draft
from baycompanion.job.events import (
    Begun,
    GateHeld,
    GateOpened,
    GateShutAgain,
    Overridden,
    Reopened,
)
from baycompanion.job.gates import missing, rests_on_step
from baycompanion.job.order import applies, next_step, rests_on
from baycompanion.procedure.model import Gate
from baycompanion.procedure.steps import Step


def arrive(draft: Draft) -> None:
    """Say that the next step begins, or which gates hold it."""
    state = draft.state
    if state.status != "open" or state.accepted_at is None or state.gap is not None:
        return
    step = next_step(draft.procedure, state)
    if step is None:
        return
    gates = [gate for gate in draft.procedure.gates_on[step.id] if applies(gate, state.choices)]
    passed = [_pass_gate(draft, gate, step) for gate in gates]
    if all(passed) and draft.state.current != step.id:
        draft.say(Begun(step=step.id, phase=draft.procedure.phase_of[step.id].phase))


def _pass_gate(draft: Draft, gate: Gate, step: Step) -> bool:
    """Say that `gate` opens or holds, when that is new; return whether `step` may begin."""
    track = draft.state.gates.get(gate.gate)
    standing = track.standing if track is not None else None
    things = missing(draft.procedure, draft.state, gate)
    if standing == "overridden":
        return True
    if not things:
        if standing != "open":
            draft.say(GateOpened(gate=gate.gate, step=step.id))
        return True
    words = [thing.words for thing in things]
    if standing != "held" or draft.state.current is not None or _changed(draft, gate, words):
        draft.say(GateHeld(gate=gate.gate, step=step.id, missing=words))
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
    _shut_again(draft, step.id)
    for other in draft.procedure.steps.values():
        if step.id in rests_on(draft.procedure, other) and draft.state.track(other.id).finished:
            reopen(draft, other, f"It rests on “{step.text}”, which was reopened.")
    draft.say(Reopened(step=step.id, reason=reason))


def _shut_again(draft: Draft, step: str) -> None:
    """Shut every gate that rested on `step`, overridden ones too."""
    for name, gate in draft.procedure.all_gates.items():
        track = draft.state.gates.get(name)
        if track is None or track.standing not in ("open", "overridden"):
            continue
        if rests_on_step(gate, step) or _overridden_without(track.override, step):
            draft.say(GateShutAgain(gate=name, step=step))


def _overridden_without(override: Overridden | None, step: str) -> bool:
    return override is not None and step in override.steps
