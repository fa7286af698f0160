"""The timeline of a job, made from its events: what each kind of event marks on it."""

from collections.abc import Callable, Iterable
from typing import Any

from baycompanion.job.events import hands_kinds, kinds
from baycompanion.job.events.event import Event
from baycompanion.job.state.state import State
from baycompanion.job.timeline.values import Timeline, What
from baycompanion.job.timeline.walk import Walk
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Witness


def make_timeline(procedure: Procedure, events: Iterable[Event]) -> Timeline:
    """Return the timeline of the job with these `events`, the first of which opens it.

    `procedure` is the one that it follows by now; of a gate or a phase that a newer revision took
    away, less is known.
    """
    rest = iter(events)
    walk = Walk(procedure, next(rest))
    for event in rest:
        before = walk.take(event)
        marked = _MARKS.get(event.kind)
        if marked is not None:
            marked(walk, event.data, before)
    return walk.timeline()


def _closed(walk: Walk, data: kinds.Closed, before: State) -> None:
    walk.mark_job("keys back")


def _abandoned(walk: Walk, data: kinds.Abandoned, before: State) -> None:
    walk.mark_job("given up")


def _gate_held(walk: Walk, data: kinds.GateHeld, before: State) -> None:
    """Mark where a gate shut in front of the work; what it waits for may change meanwhile."""
    held = walk.lasting.get(("gate", data.gate))
    if held is not None:
        walk.add_event(held)
        return
    place = walk.mark("gate shut", data.step, gates=(data.gate,))
    walk.begin_lasting(("gate", data.gate), place)


def _gate_opened(walk: Walk, data: kinds.GateOpened, before: State) -> None:
    """Mark an opened gate; those that open at once in front of one step are one mark."""
    was_held = ("gate", data.gate) in walk.lasting
    walk.end_lasting(("gate", data.gate))
    for_now = _waits_for_released(walk.procedure, walk.state, data.gate)
    what: What = "gate opened for now" if for_now else "gate opened"
    last = walk.last
    together = last.events[-1].seq == walk.event.seq - 1 and last.at == walk.along
    if together and not was_held and (last.what, last.step) == (what, data.step):
        walk.add_event(len(walk.marks) - 1, gates=(*last.gates, data.gate))
    else:
        walk.mark(what, data.step, gates=(data.gate,))


def _waits_for_released(procedure: Procedure, state: State, name: str) -> bool:
    """Return whether a gate rests on a step that was released without a second person."""
    gate = procedure.all_gates.get(name)
    named = (step_named(leaf) for leaf in leaves(gate.until)) if gate is not None else ()
    return any(step is not None and state.track(step).provisional for step in named)


def _overridden(walk: Walk, data: kinds.Overridden, before: State) -> None:
    walk.end_lasting(("gate", data.gate))
    track = before.gates.get(data.gate)
    walk.mark("gate overridden", track.step if track is not None else None, gates=(data.gate,))


def _gate_shut_again(walk: Walk, data: kinds.GateShutAgain, before: State) -> None:
    track = before.gates.get(data.gate)
    step = track.step if track is not None else data.step
    walk.mark("gate shut again", step, gates=(data.gate,))


def _paused(walk: Walk, data: hands_kinds.Paused, before: State) -> None:
    """Mark a pause; one that a gap turned out to be began with the gap."""
    walk.end_lasting(("pause", None))
    walk.begin_lasting(("pause", None), walk.mark_gap("pause"))


def _resumed(walk: Walk, data: hands_kinds.Resumed, before: State) -> None:
    walk.end_lasting(("pause", None))


def _handed_over(walk: Walk, data: hands_kinds.HandedOver, before: State) -> None:
    walk.mark("other hands")


def _gap_found(walk: Walk, data: hands_kinds.GapFound, before: State) -> None:
    if before.gap is not None:  # it has grown
        walk.add_event(walk.lasting["gap", None])
    else:
        walk.begin_lasting(("gap", None), walk.mark_gap("gap"))


def _gap_explained(walk: Walk, data: hands_kinds.GapExplained, before: State) -> None:
    walk.explain_gap(data.meaning, before)
    walk.end_lasting(("gap", None))


def _clock_back(walk: Walk, data: hands_kinds.ClockBack, before: State) -> None:
    walk.mark_job("clock set back")


def _fault_raised(walk: Walk, data: kinds.FaultRaised, before: State) -> None:
    walk.begin_lasting(("fault", data.fault), walk.mark("fault", data.step))


def _fault_cleared(walk: Walk, data: kinds.FaultCleared, before: State) -> None:
    raised = walk.lasting.get(("fault", data.fault))
    step = walk.marks[raised].step if raised is not None else None
    walk.end_lasting(("fault", data.fault))
    walk.mark("fault cleared", step)


def _reopened(walk: Walk, data: kinds.Reopened, before: State) -> None:
    walk.mark("step reopened", data.step)


def _revised(walk: Walk, data: kinds.Revised, before: State) -> None:
    walk.mark_job("newer revision")
    for gate in data.gates_gone:
        walk.end_lasting(("gate", gate))


def _answered(walk: Walk, data: kinds.Answered, before: State) -> None:
    if isinstance(walk.procedure.steps.get(data.step), Witness):
        for_now = data.outcome == "provisional"
        walk.mark("released for now" if for_now else "second person", data.step)
    else:
        _entered_late(walk, data, before)


def _entered_late(walk: Walk, data: kinds.Answered | kinds.Ticked, before: State) -> None:
    """Mark what was entered after the fact; the lines of a step and its answer are one mark."""
    if data.claimed is None and not data.on_paper:
        return
    what: What = "from paper" if data.on_paper else "late entry"
    last = walk.last
    same = (last.what, last.step, last.event.by) == (what, data.step, walk.event.by)
    if same and last.events[-1].seq == walk.event.seq - 1:
        walk.add_event(len(walk.marks) - 1)
    else:
        walk.mark(what, data.step)


_MARKS: dict[str, Callable[[Walk, Any, State], None]] = {
    kinds.Closed.kind: _closed,
    kinds.Abandoned.kind: _abandoned,
    kinds.GateHeld.kind: _gate_held,
    kinds.GateOpened.kind: _gate_opened,
    kinds.GateShutAgain.kind: _gate_shut_again,
    kinds.Overridden.kind: _overridden,
    hands_kinds.Paused.kind: _paused,
    hands_kinds.Resumed.kind: _resumed,
    hands_kinds.HandedOver.kind: _handed_over,
    hands_kinds.GapFound.kind: _gap_found,
    hands_kinds.GapExplained.kind: _gap_explained,
    hands_kinds.ClockBack.kind: _clock_back,
    kinds.FaultRaised.kind: _fault_raised,
    kinds.FaultCleared.kind: _fault_cleared,
    kinds.Reopened.kind: _reopened,
    kinds.Revised.kind: _revised,
    kinds.Answered.kind: _answered,
    kinds.Ticked.kind: _entered_late,
}
