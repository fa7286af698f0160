"""The fold of events about hands: who sits before the job, who has it, when nobody works on it."""

from typing import Any

from baycompanion.job import events, hands_events
from baycompanion.job.event import Event
from baycompanion.job.replacing import replace
from baycompanion.job.state import Gap, Pause, SignOn, State, WrongPin


def first_sign_on(opened: events.Opened, event: Event) -> tuple[SignOn, ...]:
    """Return the sign-on that the first event is, where a PIN was given for it."""
    if opened.signed is None:
        return ()
    signed = hands_events.SignedOn(role=opened.role, signed=opened.signed)
    return (SignOn(signed, event.at, event.by),)


def signed_on(state: State, data: hands_events.SignedOn, event: Event) -> State:
    """Add who took a seat before the job."""
    return replace(state, sign_ons=(*state.sign_ons, SignOn(data, event.at, event.by)))


def pin_refused(state: State, data: hands_events.PinRefused, event: Event) -> State:
    """Add a wrong PIN."""
    return replace(state, wrong_pins=(*state.wrong_pins, WrongPin(data, event.at)))


def paused(state: State, data: hands_events.Paused, event: Event) -> State:
    """Begin a pause; one in a pause, at a change of hands, is a pause of its own."""
    pauses = state.pauses
    if state.status == "paused":  # a change of hands in a pause begins a pause of its own
        pauses = _change_last(pauses, ended_at=event.at, ended_by=event.by)
    since = state.gap.since if state.gap is not None else event.at
    pause = Pause(data, event.at, event.by, since, clock=state.clock)
    return replace(state, status="paused", pauses=(*pauses, pause))


def resumed(state: State, data: hands_events.Resumed, event: Event) -> State:
    """End the pause; whoever resumes has the job."""
    back = {"ended_at": event.at, "ended_by": event.by, "read_back": data.words}
    return replace(
        state, status="open", technician=event.by, pauses=_change_last(state.pauses, **back)
    )


def handed_over(state: State, data: hands_events.HandedOver, event: Event) -> State:
    """Pass the job on, with whoever stands beside."""
    pauses = _change_last(state.pauses, handed_to=data.to, handed_words=data.words)
    return replace(state, technician=data.to, mentor=data.mentor, pauses=pauses)


def _change_last(pauses: tuple[Pause, ...], **changes: Any) -> tuple[Pause, ...]:
    return (*pauses[:-1], replace(pauses[-1], **changes)) if pauses else pauses


def gap_found(state: State, data: hands_events.GapFound, event: Event) -> State:
    """Keep time aside that nobody has accounted for."""
    return replace(state, gap=Gap(data.seconds * 1000, data.how, data.since, state.technician))


def length_unknown(state: State) -> State:
    """Mark the pause in force, if there is one, as one whose length nobody knows."""
    if state.status != "paused":
        return state
    return replace(state, pauses=_change_last(state.pauses, clock_set=True))


def clock_back(state: State, data: hands_events.ClockBack, event: Event) -> State:
    """Add a clock that was set back; the length of a pause is then not known."""
    return length_unknown(
        replace(state, clock_backs=(*state.clock_backs, (event.at, data.seconds)))
    )
