"""What can happen around the work: who has the job, who sits before it, when nobody works on it."""

from typing import Literal

from pydantic import Field

from baycompanion.job.events.data import Data


class Paused(Data):
    """The work stops for a while."""

    kind = "paused"
    reason: str
    loose: str
    """What is loose, open or live right now."""
    first: str
    """What comes first on return."""


class Resumed(Data):
    """The work goes on."""

    kind = "resumed"
    words: str
    confirmed: list[str] = Field([])
    """Standing conditions verified again."""
    gate_checked: bool = False


class GapFound(Data):
    """Time passed that the program cannot account for; a second one is all of it by now."""

    kind = "gap-found"
    how: Literal["left", "slept"]
    """Left: nothing was entered, and the job was left. Slept: the laptop's clocks disagree."""
    since: str
    seconds: int


class GapExplained(Data):
    """What a gap was, by the word of the person."""

    kind = "gap-explained"
    meaning: Literal["worked", "away", "clock", "unknown"]
    """Of an unknown time nothing counts: not as work, not as a pause, and for no wait."""


class ClockBack(Data):
    """The clock reads earlier than the event before; the time between is not known."""

    kind = "clock-back"
    seconds: int


class HandedOver(Data):
    """The job passes to another technician, who takes it by resuming it."""

    kind = "handed-over"
    to: str
    words: str
    mentor: str | None = None
    """Who stands beside a trainee from now on."""


class SignedOn(Data):
    """Somebody took a seat before the job."""

    kind = "signed-on"
    role: str
    signed: Literal["pin"] | None = None
    """How they showed who they are; without it, their id was taken at its word."""


class PinRefused(Data):
    """A wrong PIN was given."""

    kind = "pin-refused"
    who: str
    """The staff id that it was given for."""
    tries: int
    """Wrong ones in a row, this one included."""
