"""The fold: one event added to a state. It never refuses; the rules live in `decide` alone."""

from collections.abc import Callable, Iterable, Mapping
from functools import reduce
from typing import Any, TypeVar

from baycompanion.job import events, hands_events, practice_events
from baycompanion.job import fold_hands as hands
from baycompanion.job.data import Data
from baycompanion.job.event import Event
from baycompanion.job.replacing import replace
from baycompanion.job.state import (
    Attempt,
    Circuit,
    Fault,
    GateTrack,
    Note,
    OverrideRecord,
    PhaseTime,
    Photo,
    Revision,
    State,
    Tick,
)

_ASKED_ANEW: dict[str, Any] = {"ticks": {}, "acknowledged": frozenset(), "wait": None}
"""What is forgotten of a step that is to be done from its beginning."""

K = TypeVar("K")
V = TypeVar("V")


def begin(event: Event) -> State:
    """Return the state of a job whose first event is `event`, which carries `events.Opened`."""
    assert isinstance(event.data, events.Opened)
    return State(
        opened=event.data,
        opened_at=event.at,
        opened_by=event.by,
        technician=event.by,
        mentor=event.data.mentor,
        sign_ons=hands.first_sign_on(event.data, event),
        head=event.hash,
        last_at=event.at,
        last_ms=event.milliseconds,
    )


def fold(state: State, event: Event) -> State:
    """Return the state after `event`."""
    passed = _pass_time(state, event)
    return _FOLDS[event.kind](passed, event.data, event)


def fold_all(journal: Iterable[Event]) -> State:
    """Return the state after all events of `journal`, of which the first opens the job."""
    rest = iter(journal)
    return reduce(fold, rest, begin(next(rest)))


def _pass_time(state: State, event: Event) -> State:
    """Move the job's clock on, and put the time on the phase and the step in hand.

    A clock that reads earlier than before adds nothing; a gap is kept aside until explained.
    """
    now = event.milliseconds
    spent = max(0, now - state.last_ms)
    if isinstance(event.data, hands_events.GapFound):
        spent = max(0, spent - event.data.seconds * 1000)
    moved: dict[str, Any] = {
        "seq": event.seq,
        "head": event.hash,
        "last_at": event.at,
        "last_ms": now,
    }
    if not state.gap and state.status not in ("closed", "abandoned"):
        moved |= {"clock": state.clock + spent, **_spent(state, spent, event.at)}
    return replace(state, **moved)


def _spent(state: State, spent: int, at: str) -> dict[str, Any]:
    """Return what changes where `spent` milliseconds went by: the phase in hand, and its step."""
    if state.phase is None:
        return {}
    time = state.phases.get(state.phase, PhaseTime())
    if state.status == "paused":
        time = replace(time, paused=time.paused + spent, last_at=at)
        return {"phases": _with(state.phases, state.phase, time)}
    time = replace(time, worked=time.worked + spent, last_at=at)
    phases = _with(state.phases, state.phase, time)
    if state.current is None:
        return {"phases": phases}
    track = state.track(state.current)
    track = replace(track, worked=track.worked + spent)
    return {"phases": phases, "steps": _with(state.steps, state.current, track)}


def _with(mapping: Mapping[K, V], key: K, value: V) -> dict[K, V]:
    return {**mapping, key: value}


def _track(state: State, step: str, **changes: Any) -> State:
    """Return `state` with what happened on `step` changed."""
    return replace(state, steps=_with(state.steps, step, replace(state.track(step), **changes)))


def _opened(state: State, data: events.Opened, event: Event) -> State:
    return state


def _hazards_accepted(state: State, data: events.HazardsAccepted, event: Event) -> State:
    return replace(state, accepted_at=event.at)


def _begun(state: State, data: events.Begun, event: Event) -> State:
    time = state.phases.get(data.phase, PhaseTime())
    time = replace(time, begun_at=time.begun_at or event.at, last_at=event.at)
    state = replace(
        state,
        current=data.step,
        taken_up=bool(data.taken_up),
        phase=data.phase,
        phases=_with(state.phases, data.phase, time),
    )
    return _track(state, data.step, begun_clock=state.clock, begun_at=event.at, since_seq=event.seq)


def _acknowledged(state: State, data: events.Acknowledged, event: Event) -> State:
    read = state.track(data.step).acknowledged | {data.caution}
    return _track(state, data.step, acknowledged=read)


def _answered(state: State, data: events.Answered, event: Event) -> State:
    attempts = (*state.track(data.step).attempts, Attempt(data, event.at, event.by, event.seq))
    state = _track(state, data.step, attempts=attempts)
    settled = _settled_choices(data)
    if settled:
        state = replace(state, choices={**state.choices, **settled})
    return state if data.weight == "bad" else _finish(state, data.step, event)


def _settled_choices(data: events.Answered) -> dict[str, str]:
    """Return what an answer settles, by choice: one, several together, or none."""
    return {data.settles: data.words} if data.settles else data.settled or {}


def _finish(state: State, step: str, event: Event) -> State:
    """Leave `step` behind."""
    state = _track(state, step, finished=True, finished_at=event.at, finished_clock=state.clock)
    state = replace(state, next_said=None)
    return replace(state, current=None) if state.current == step else state


def _ticked(state: State, data: events.Ticked, event: Event) -> State:
    ticks = _with(state.track(data.step).ticks, data.item, Tick(data, event.at, event.by))
    return _placed(_track(state, data.step, ticks=ticks), data)


def _tray_line_added(state: State, data: events.TrayLineAdded, event: Event) -> State:
    return _placed(replace(state, tray=(*state.tray, data)), data)


def _placed(state: State, data: events.Ticked | events.TrayLineAdded) -> State:
    """Keep where a line lies in the tray, however often it is counted anew."""
    if not (data.size or data.slot):
        return state
    place = (data.size or "", data.slot or "")
    places = _with(state.track(data.step).places, data.item, place)
    return _track(state, data.step, places=places)


def _wait_set(state: State, data: events.WaitSet, event: Event) -> State:
    return _track(state, data.step, wait=data)


def _settled(state: State, data: events.Settled, event: Event) -> State:
    return _finish(_track(state, data.step, settled=data.fault), data.step, event)


def _gate_held(state: State, data: events.GateHeld, event: Event) -> State:
    held = GateTrack("held", event.at, data.step)
    return replace(state, current=None, gates=_with(state.gates, data.gate, held))


def _gate_opened(state: State, data: events.GateOpened, event: Event) -> State:
    opened = GateTrack("open", event.at, data.step)
    return replace(state, gates=_with(state.gates, data.gate, opened))


def _gate_shut_again(state: State, data: events.GateShutAgain, event: Event) -> State:
    shut = GateTrack("shut again", event.at, data.step)
    return replace(state, gates=_with(state.gates, data.gate, shut))


def _overridden(state: State, data: events.Overridden, event: Event) -> State:
    step = state.gates[data.gate].step if data.gate in state.gates else ""
    track = GateTrack("overridden", event.at, step, data, event.by)
    return replace(
        state,
        gates=_with(state.gates, data.gate, track),
        overrides=(*state.overrides, OverrideRecord(data, event.at, event.by)),
    )


def _noted(state: State, data: events.Noted, event: Event) -> State:
    return replace(state, notes=(*state.notes, Note(data.words, data.step, event.at, event.by)))


def _photo_added(state: State, data: events.PhotoAdded, event: Event) -> State:
    return replace(state, photos=(*state.photos, Photo(data, event.at, event.by, event.seq)))


def _fault_raised(state: State, data: events.FaultRaised, event: Event) -> State:
    fault = Fault(data.fault, data.cause, data.words, data.step, data.item, event.at, event.by)
    fault = replace(fault, mark=data.mark)
    return replace(state, faults=(*state.faults, fault))


def _fault_cleared(state: State, data: events.FaultCleared, event: Event) -> State:
    faults = tuple(
        replace(fault, cleared_at=event.at, cleared_by=event.by, cleared_words=data.words)
        if fault.number == data.fault and fault.open
        else fault
        for fault in state.faults
    )
    return replace(state, faults=faults)


def _circuit_borrowed(state: State, data: events.CircuitBorrowed, event: Event) -> State:
    circuit = Circuit(data, event.at, event.by, event.seq)
    return replace(state, circuits=(*state.circuits, circuit))


def _circuit_given_back(state: State, data: events.CircuitGivenBack, event: Event) -> State:
    back: dict[str, Any] = {"given_back_at": event.at, "given_back_by": event.by}
    circuits = tuple(
        replace(each, given_back_words=data.words, **back)
        if each.data.number == data.number and each.in_use
        else each
        for each in state.circuits
    )
    return replace(state, circuits=circuits)


def _splice_planned(state: State, data: events.SplicePlanned, event: Event) -> State:
    """Take the plan over; a line that is another now has no answer yet."""
    if state.plan is not None:
        kept = {(line.item, line.name) for line in (*data.joins, *data.left_over)}
        before = {(line.item, line.name) for line in (*state.plan.joins, *state.plan.left_over)}
        other = {item for item, _ in before - kept}
        for name, track in state.steps.items():
            if not track.finished and other & track.ticks.keys():
                ticks = {item: tick for item, tick in track.ticks.items() if item not in other}
                state = _track(state, name, ticks=ticks)
    return replace(state, plan=data)


def _gap_explained(state: State, data: hands_events.GapExplained, event: Event) -> State:
    gap = state.gap
    if gap is None:
        return state
    told = replace(gap, explained_by=event.by)
    state = replace(state, gap=None, gaps=(*state.gaps, (told, data.meaning)))
    if data.meaning == "unknown":
        return hands.length_unknown(state)
    if data.meaning == "clock" or state.status in ("closed", "abandoned"):
        return state
    status = state.status
    state = replace(state, clock=state.clock + gap.milliseconds)
    if data.meaning == "away":
        state = replace(state, status="paused")
    return replace(state, **_spent(state, gap.milliseconds, event.at), status=status)


def _reopened(state: State, data: events.Reopened, event: Event) -> State:
    reasons = (*state.track(data.step).reopened, data.reason)
    ticks = state.track(data.step).ticks if data.lines_kept else {}
    state = _track(
        state,
        data.step,
        finished=False,
        settled=None,
        **{**_ASKED_ANEW, "ticks": ticks},
        since_seq=event.seq,
        reopened_seq=event.seq,
        finished_clock=None,
        finished_at=None,
        reopened=reasons,
    )
    last = state.track(data.step).attempts
    settled = _settled_choices(last[-1].answer) if last else {}
    if settled:
        kept = {name: value for name, value in state.choices.items() if name not in settled}
        state = replace(state, choices=kept)
    return replace(state, current=None)


def _revised(state: State, data: events.Revised, event: Event) -> State:
    """Follow the newer revision: what is gone is forgotten here, though the journal has it."""
    now = {"title": data.title, "revision": data.revision, "procedure_hash": data.procedure_hash}
    moved = Revision(data, event.at, event.by, state.opened.procedure_hash)
    steps = {name: track for name, track in state.steps.items() if name not in data.gone}
    state = replace(
        state,
        opened=state.opened.model_copy(update=now),
        revisions=(*state.revisions, moved),
        accepted_at=None if data.hazards else state.accepted_at,
        steps=steps,
        gates={name: gate for name, gate in state.gates.items() if name not in data.gates_gone},
        phase=None if state.phase in data.phases_gone else state.phase,
        current=None,
    )
    for name in data.changed:
        if not state.track(name).finished:
            state = _track(state, name, since_seq=event.seq, **_ASKED_ANEW)
    return state


def _standing_asked(state: State, data: events.StandingAsked, event: Event) -> State:
    asked = _with(state.standings, data.standing, (event.seq, data.held))
    return replace(state, standings=asked)


def _next_said(state: State, data: practice_events.NextSaid, event: Event) -> State:
    return replace(state, next_said=data.due)


def _only_told(state: State, data: Data, event: Event) -> State:
    """Change nothing: it stands in the journal for the end of the practice."""
    return state


def _abandoned(state: State, data: events.Abandoned, event: Event) -> State:
    return replace(
        state, status="abandoned", ended_at=event.at, ended_words=data.reason, current=None
    )


def _closed(state: State, data: events.Closed, event: Event) -> State:
    return replace(state, status="closed", ended_at=event.at, clean=data.clean, current=None)


_Fold = Callable[[State, Any, Event], State]
_FOLDS: dict[str, _Fold] = {
    events.Opened.kind: _opened,
    events.HazardsAccepted.kind: _hazards_accepted,
    events.Begun.kind: _begun,
    events.Acknowledged.kind: _acknowledged,
    events.Answered.kind: _answered,
    events.Ticked.kind: _ticked,
    events.TrayLineAdded.kind: _tray_line_added,
    events.WaitSet.kind: _wait_set,
    events.Settled.kind: _settled,
    events.GateHeld.kind: _gate_held,
    events.GateOpened.kind: _gate_opened,
    events.GateShutAgain.kind: _gate_shut_again,
    events.Overridden.kind: _overridden,
    events.Noted.kind: _noted,
    events.PhotoAdded.kind: _photo_added,
    events.FaultRaised.kind: _fault_raised,
    events.FaultCleared.kind: _fault_cleared,
    events.CircuitBorrowed.kind: _circuit_borrowed,
    events.CircuitGivenBack.kind: _circuit_given_back,
    events.SplicePlanned.kind: _splice_planned,
    hands_events.Paused.kind: hands.paused,
    hands_events.Resumed.kind: hands.resumed,
    hands_events.HandedOver.kind: hands.handed_over,
    hands_events.SignedOn.kind: hands.signed_on,
    hands_events.PinRefused.kind: hands.pin_refused,
    hands_events.GapFound.kind: hands.gap_found,
    hands_events.GapExplained.kind: _gap_explained,
    hands_events.ClockBack.kind: hands.clock_back,
    events.Reopened.kind: _reopened,
    events.Revised.kind: _revised,
    events.StandingAsked.kind: _standing_asked,
    practice_events.NextSaid.kind: _next_said,
    practice_events.RanInto.kind: _only_told,
    practice_events.Unprotected.kind: _only_told,
    practice_events.Looked.kind: _only_told,
    events.Abandoned.kind: _abandoned,
    events.Closed.kind: _closed,
}
