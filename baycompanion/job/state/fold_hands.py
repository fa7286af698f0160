"""The fold of events about hands: who sits before the job, who has it, when nobody works on it."""

from typing import Any

from baycompanion.job.events import hands_kinds, kinds
from baycompanion.job.events.event import Event
from baycompanion.job.state.adding import Adding
from baycompanion.job.state.replacing import replace
from baycompanion.job.state.state import Gap, Pause, SignOn, WrongPin


def first_sign_on(opened: kinds.Opened, event: Event) -> tuple[SignOn, ...]:
    """Return the sign-on that the first event is, where a PIN was given for it."""
    if opened.signed is None:
        return ()
    signed = hands_kinds.SignedOn(role=opened.role, signed=opened.signed)
    return (SignOn(signed, event.at, event.by),)


def signed_on(adding: Adding, data: hands_kinds.SignedOn, event: Event) -> None:
    """Add who took a seat before the job."""
    adding.put_last("sign_ons", SignOn(data, event.at, event.by))


def pin_refused(adding: Adding, data: hands_kinds.PinRefused, event: Event) -> None:
    """Add a wrong PIN."""
    adding.put_last("wrong_pins", WrongPin(data, event.at))


def paused(adding: Adding, data: hands_kinds.Paused, event: Event) -> None:
    """Begin a pause; one in a pause, at a change of hands, is a pause of its own."""
    state, pauses = adding.state, adding.state.pauses
    if state.status == "paused":  # a change of hands in a pause begins a pause of its own
        pauses = _change_last(pauses, ended_at=event.at, ended_by=event.by)
    since = state.gap.since if state.gap is not None else event.at
    pause = Pause(data, event.at, event.by, since, clock=state.clock)
    adding.put(status="paused", pauses=(*pauses, pause))


def resumed(adding: Adding, data: hands_kinds.Resumed, event: Event) -> None:
    """End the pause; whoever resumes has the job."""
    back = {"ended_at": event.at, "ended_by": event.by, "read_back": data.words}
    pauses = _change_last(adding.state.pauses, **back)
    adding.put(status="open", technician=event.by, pauses=pauses)


def handed_over(adding: Adding, data: hands_kinds.HandedOver, event: Event) -> None:
    """Pass the job on, with whoever stands beside."""
    pauses = _change_last(adding.state.pauses, handed_to=data.to, handed_words=data.words)
    beside = adding.state.beside_mentors | ({data.to} if data.mentor is not None else set())
    adding.put(technician=data.to, mentor=data.mentor, beside_mentors=beside, pauses=pauses)


def _change_last(pauses: tuple[Pause, ...], **changes: Any) -> tuple[Pause, ...]:
    return (*pauses[:-1], replace(pauses[-1], **changes)) if pauses else pauses


def gap_found(adding: Adding, data: hands_kinds.GapFound, event: Event) -> None:
    """Keep time aside that nobody has accounted for."""
    technician = adding.state.technician
    adding.put(gap=Gap(data.seconds * 1000, data.how, data.since, technician))


def length_unknown(adding: Adding) -> None:
    """Mark the pause in force, if there is one, as one whose length nobody knows."""
    if adding.state.status == "paused":
        adding.put(pauses=_change_last(adding.state.pauses, clock_set=True))


def clock_back(adding: Adding, data: hands_kinds.ClockBack, event: Event) -> None:
    """Add a clock that was set back; the length of a pause is then not known."""
    adding.put_last("clock_backs", (event.at, data.seconds))
    length_unknown(adding)
