"""What follows from an action by itself: a step begins, a gate opens or holds."""

from baycompanion.job.deciding.draft import Draft
from baycompanion.job.deciding.reopening import stand_again
from baycompanion.job.events.kinds import Begun, GateHeld, GateOpened
from baycompanion.job.state.gates import gates_before, missing
from baycompanion.job.state.order import next_step
from baycompanion.procedure.model import Gate


def arrive(draft: Draft) -> None:
    """Say that the next step begins, or which gates hold it.

    A step that was taken up out of its place, in practice, stays in hand until it is finished.
    """
    state = draft.state
    if state.current is not None and state.taken_up:
        return
    if state.status != "open" or state.accepted_at is None or state.gap is not None:
        return
    step = next_step(draft.procedure, state)
    while step is not None and stand_again(draft, step):
        step = next_step(draft.procedure, draft.state)
    state = draft.state
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
