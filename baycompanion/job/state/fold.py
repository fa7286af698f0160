"""The fold: one event added to a state. It never refuses; the rules live in `decide` alone."""

from collections.abc import Callable, Iterable
from typing import Any

from baycompanion.job.events import hands_kinds, kinds, practice_kinds
from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event
from baycompanion.job.state import fold_hands as hands
from baycompanion.job.state import fold_kept as kept
from baycompanion.job.state.adding import Adding
from baycompanion.job.state.replacing import replace
from baycompanion.job.state.state import (
    Attempt,
    GateTrack,
    OverrideRecord,
    PhaseTime,
    Revision,
    State,
    StepTrack,
    Tick,
)

_ASKED_ANEW: dict[str, Any] = {"ticks": {}, "acknowledged": frozenset(), "wait": None}
"""What is forgotten of a step that is to be done from its beginning."""


def _asked_anew(track: StepTrack) -> dict[str, Any]:
    """Return what becomes of a step that is to be done from its beginning.

    What was counted into the tray lies there all the same, until it is counted anew.
    """
    counts = {item: tick.answer.count or 0 for item, tick in track.ticks.items()}
    counted = {item: count for item, count in counts.items() if count}
    return {**_ASKED_ANEW, "uncounted": {**track.uncounted, **counted}}


def begin(event: Event) -> State:
    """Return the state of a job whose first event is `event`, which carries `kinds.Opened`."""
    assert isinstance(event.data, kinds.Opened)
    return State(
        opened=event.data,
        opened_at=event.at,
        opened_by=event.by,
        technician=event.by,
        mentor=event.data.mentor,
        beside_mentors=frozenset({event.by} if event.data.mentor is not None else ()),
        sign_ons=hands.first_sign_on(event.data, event),
        head=event.hash,
        last_at=event.at,
        last_ms=event.milliseconds,
    )


def fold(state: State, event: Event) -> State:
    """Return the state after `event`."""
    adding = Adding(state)
    _add(adding, event)
    return adding.done()


def fold_all(journal: Iterable[Event]) -> State:
    """Return the state after all events of `journal`, of which the first opens the job."""
    rest = iter(journal)
    adding = Adding(begin(next(rest)))
    for event in rest:
        _add(adding, event)
    return adding.done()


def _add(adding: Adding, event: Event) -> None:
    _pass_time(adding, event)
    _FOLDS[event.kind](adding, event.data, event)


def _pass_time(adding: Adding, event: Event) -> None:
    """Move the job's clock on, and put the time on the phase and the step in hand.

    A clock that reads earlier than before adds nothing; a gap is kept aside until explained.
    """
    state, now = adding.state, event.milliseconds
    spent = max(0, now - state.last_ms)
    if isinstance(event.data, hands_kinds.GapFound):
        spent = max(0, spent - event.data.seconds * 1000)
    counts = not state.gap and state.status not in ("closed", "abandoned")
    clock = state.clock + spent if counts else state.clock
    adding.put(seq=event.seq, head=event.hash, last_at=event.at, last_ms=now, clock=clock)
    if counts:
        _spend(adding, spent, event.at)


def _spend(adding: Adding, spent: int, at: str) -> None:
    """Put `spent` milliseconds on the phase in hand, and on its step."""
    state = adding.state
    if state.phase is None:
        return
    time = state.phases.get(state.phase, PhaseTime())
    if state.status == "paused":
        time = replace(time, paused=time.paused + spent, last_at=at)
        adding.put_in("phases", state.phase, time)
        return
    time = replace(time, worked=time.worked + spent, last_at=at)
    adding.put_in("phases", state.phase, time)
    if state.current is not None:
        adding.track(state.current, worked=state.track(state.current).worked + spent)


def _opened(adding: Adding, data: kinds.Opened, event: Event) -> None:
    """Change nothing: a state begins with it."""


def _hazards_accepted(adding: Adding, data: kinds.HazardsAccepted, event: Event) -> None:
    adding.put(accepted_at=event.at)


def _begun(adding: Adding, data: kinds.Begun, event: Event) -> None:
    state = adding.state
    time = state.phases.get(data.phase, PhaseTime())
    time = replace(time, begun_at=time.begun_at or event.at, last_at=event.at)
    adding.put_in("phases", data.phase, time)
    adding.put(current=data.step, taken_up=bool(data.taken_up), phase=data.phase)
    adding.track(data.step, begun_clock=state.clock, begun_at=event.at, since_seq=event.seq)


def _acknowledged(adding: Adding, data: kinds.Acknowledged, event: Event) -> None:
    read = adding.state.track(data.step).acknowledged | {data.caution}
    adding.track(data.step, acknowledged=read)


def _answered(adding: Adding, data: kinds.Answered, event: Event) -> None:
    before = adding.state.track(data.step).attempts
    attempts = (*before, Attempt(data, event.at, event.by, event.seq))
    if data.weight == "bad":
        adding.track(data.step, attempts=attempts)
    else:
        _finish(adding, data.step, event, attempts=attempts)
    settled = _settled_choices(data)
    if settled:
        adding.put(choices={**adding.state.choices, **settled})


def _settled_choices(data: kinds.Answered) -> dict[str, str]:
    """Return what an answer settles, by choice: one, several together, or none."""
    return {data.settles: data.words} if data.settles else data.settled or {}


def _finish(adding: Adding, step: str, event: Event, **changes: Any) -> None:
    """Leave `step` behind, with what else changes on it."""
    state = adding.state
    ended = {"finished": True, "finished_at": event.at, "finished_clock": state.clock}
    if state.track(step).uncounted:
        changes["uncounted"] = {}
    adding.track(step, **ended, **changes)
    adding.put(next_said=None, current=None if state.current == step else state.current)


def _ticked(adding: Adding, data: kinds.Ticked, event: Event) -> None:
    track = adding.state.track(data.step)
    adding.track(data.step, ticks={**track.ticks, data.item: Tick(data, event.at, event.by)})
    if data.item in track.uncounted:
        left = {item: count for item, count in track.uncounted.items() if item != data.item}
        adding.track(data.step, uncounted=left)
    _place(adding, data)


def _tray_line_added(adding: Adding, data: kinds.TrayLineAdded, event: Event) -> None:
    adding.put_last("tray", data)
    _place(adding, data)


def _place(adding: Adding, data: kinds.Ticked | kinds.TrayLineAdded) -> None:
    """Keep where a line lies in the tray, however often it is counted anew."""
    if not (data.size or data.slot):
        return
    place = (data.size or "", data.slot or "")
    places = adding.state.track(data.step).places
    adding.track(data.step, places={**places, data.item: place})


def _wait_set(adding: Adding, data: kinds.WaitSet, event: Event) -> None:
    adding.track(data.step, wait=data)


def _settled(adding: Adding, data: kinds.Settled, event: Event) -> None:
    _finish(adding, data.step, event, settled=data.fault)


def _gate_held(adding: Adding, data: kinds.GateHeld, event: Event) -> None:
    adding.put(current=None)
    adding.put_in("gates", data.gate, GateTrack("held", event.at, data.step))


def _gate_opened(adding: Adding, data: kinds.GateOpened, event: Event) -> None:
    adding.put_in("gates", data.gate, GateTrack("open", event.at, data.step))


def _gate_shut_again(adding: Adding, data: kinds.GateShutAgain, event: Event) -> None:
    adding.put_in("gates", data.gate, GateTrack("shut again", event.at, data.step))


def _overridden(adding: Adding, data: kinds.Overridden, event: Event) -> None:
    state = adding.state
    step = state.gates[data.gate].step if data.gate in state.gates else ""
    track = GateTrack("overridden", event.at, step, data, event.by)
    adding.put_in("gates", data.gate, track)
    adding.put_last("overrides", OverrideRecord(data, event.at, event.by))


def _gap_explained(adding: Adding, data: hands_kinds.GapExplained, event: Event) -> None:
    state, gap = adding.state, adding.state.gap
    if gap is None:
        return
    told = replace(gap, explained_by=event.by)
    adding.put(gap=None, gaps=(*state.gaps, (told, data.meaning)))
    if data.meaning == "unknown":
        hands.length_unknown(adding)
        return
    if data.meaning == "clock" or state.status in ("closed", "abandoned"):
        return
    status = state.status
    adding.put(clock=state.clock + gap.milliseconds)
    if data.meaning == "away":
        adding.put(status="paused")
    _spend(adding, gap.milliseconds, event.at)
    adding.put(status=status)


def _reopened(adding: Adding, data: kinds.Reopened, event: Event) -> None:
    track = adding.state.track(data.step)
    adding.track(
        data.step,
        finished=False,
        settled=None,
        **({**_ASKED_ANEW, "ticks": track.ticks} if data.lines_kept else _asked_anew(track)),
        since_seq=event.seq,
        reopened_seq=event.seq,
        finished_clock=None,
        finished_at=None,
        reopened=(*track.reopened, data.reason),
    )
    settled = _settled_choices(track.attempts[-1].answer) if track.attempts else {}
    if settled:
        choices = adding.state.choices.items()
        adding.put(choices={name: value for name, value in choices if name not in settled})
    adding.put(current=None)


def _revised(adding: Adding, data: kinds.Revised, event: Event) -> None:
    """Follow the newer revision: what is gone is forgotten here, though the journal has it."""
    state = adding.state
    now = {"title": data.title, "revision": data.revision, "procedure_hash": data.procedure_hash}
    moved = Revision(data, event.at, event.by, state.opened.procedure_hash)
    adding.put(
        opened=state.opened.model_copy(update=now),
        revisions=(*state.revisions, moved),
        accepted_at=None if data.hazards else state.accepted_at,
        steps={name: track for name, track in state.steps.items() if name not in data.gone},
        gates={name: gate for name, gate in state.gates.items() if name not in data.gates_gone},
        phase=None if state.phase in data.phases_gone else state.phase,
        current=None,
    )
    for name in data.changed:
        track = state.track(name)
        if not track.finished:
            adding.track(name, since_seq=event.seq, **_asked_anew(track))


def _standing_asked(adding: Adding, data: kinds.StandingAsked, event: Event) -> None:
    adding.put_in("standings", data.standing, (event.seq, data.held))


def _next_said(adding: Adding, data: practice_kinds.NextSaid, event: Event) -> None:
    adding.put(next_said=data.due)


def _only_told(adding: Adding, data: Data, event: Event) -> None:
    """Change nothing: it stands in the journal for the end of the practice."""


def _abandoned(adding: Adding, data: kinds.Abandoned, event: Event) -> None:
    adding.put(status="abandoned", ended_at=event.at, ended_words=data.reason, current=None)


def _closed(adding: Adding, data: kinds.Closed, event: Event) -> None:
    adding.put(status="closed", ended_at=event.at, clean=data.clean, current=None)


_Fold = Callable[[Adding, Any, Event], None]
_FOLDS: dict[str, _Fold] = {
    kinds.Opened.kind: _opened,
    kinds.HazardsAccepted.kind: _hazards_accepted,
    kinds.Begun.kind: _begun,
    kinds.Acknowledged.kind: _acknowledged,
    kinds.Answered.kind: _answered,
    kinds.Ticked.kind: _ticked,
    kinds.TrayLineAdded.kind: _tray_line_added,
    kinds.WaitSet.kind: _wait_set,
    kinds.Settled.kind: _settled,
    kinds.GateHeld.kind: _gate_held,
    kinds.GateOpened.kind: _gate_opened,
    kinds.GateShutAgain.kind: _gate_shut_again,
    kinds.Overridden.kind: _overridden,
    kinds.Noted.kind: kept.noted,
    kinds.PhotoAdded.kind: kept.photo_added,
    kinds.FaultRaised.kind: kept.fault_raised,
    kinds.FaultCleared.kind: kept.fault_cleared,
    kinds.CircuitBorrowed.kind: kept.circuit_borrowed,
    kinds.CircuitGivenBack.kind: kept.circuit_given_back,
    kinds.SplicePlanned.kind: kept.splice_planned,
    hands_kinds.Paused.kind: hands.paused,
    hands_kinds.Resumed.kind: hands.resumed,
    hands_kinds.HandedOver.kind: hands.handed_over,
    hands_kinds.SignedOn.kind: hands.signed_on,
    hands_kinds.PinRefused.kind: hands.pin_refused,
    hands_kinds.GapFound.kind: hands.gap_found,
    hands_kinds.GapExplained.kind: _gap_explained,
    hands_kinds.ClockBack.kind: hands.clock_back,
    kinds.Reopened.kind: _reopened,
    kinds.Revised.kind: _revised,
    kinds.StandingAsked.kind: _standing_asked,
    practice_kinds.NextSaid.kind: _next_said,
    practice_kinds.RanInto.kind: _only_told,
    practice_kinds.Unprotected.kind: _only_told,
    practice_kinds.Looked.kind: _only_told,
    kinds.Abandoned.kind: _abandoned,
    kinds.Closed.kind: _closed,
}
