"""What the log of a person's answers holds, and when by it a card is due again."""

from datetime import datetime, timedelta
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from baycompanion.job.events.data import Data
from baycompanion.job.events.moment import milliseconds

FORMAT: Literal[1] = 1
"""The format written now; the first line of a log carries it."""

Asked = Literal["next", "gate", "caution", "tool", "limit", "order", "misplaced"]
"""The kinds of question; the words stand in the logs of shops and are never renamed."""

Rating = Literal["again", "hard", "good", "easy"]
"""How an answer went, in the words of the FSRS scheduler.

Wrong is `again`, right after a hint `hard`, right at once `good`. Nothing here gives `easy`: it
says that an answer came without any effort, and a choice among a few options cannot show that.
Nobody is asked to rate themselves either. The word is kept so that a log with it can be read.
"""

EARLY = timedelta(hours=12)
"""A card that sleeps for days may be asked so much before its hour, and counts as asked at it.

Own choice. The scheduler counts whole days from hour to hour: without this, what was answered at
three in the afternoon would not be due the next morning, or would count as asked the same day.
"""


def _check_moment(text: str) -> str:
    milliseconds(text)
    return text


class RecallsBegun(Data):
    """The answers of one person begin here."""

    kind = "begun"
    format: Literal[1] = FORMAT


class Recalled(Data):
    """One question was answered."""

    kind = "recalled"
    procedure: str
    revision: Annotated[int, Field(ge=1)]
    card: str
    """Its name, which stays the same in every revision."""
    face: str
    """What made up question and right answer, as a hash: another one is another question."""
    asked: Asked
    phase: str
    gate: str | None = None
    right: bool
    rating: Rating
    given: list[str]
    """The names of the options that were given, in order."""
    due: Annotated[str, AfterValidator(_check_moment)]
    """When it comes back; RFC 3339, UTC."""
    signed: Literal["pin"] | None = None
    """How whoever answered showed who they are."""


class PutAside(Data):
    """These cards are in no procedure any more, so that no list counts them as due.

    It forgets nothing: where one comes back, it is due as its answers say.
    """

    kind = "put-aside"
    cards: list[str]


KINDS: dict[str, type[Data]] = {kind.kind: kind for kind in (RecallsBegun, Recalled, PutAside)}


def is_due(due: datetime, asked: datetime, now: datetime) -> bool:
    """Return whether a card that was `asked` then, to come back when it is `due`, is due `now`.

    What was asked later than now was asked by a wrong clock: it is due, so that nothing sleeps
    until a year that somebody once set by mistake.
    """
    early = EARLY if due - asked > EARLY else timedelta()
    return asked > now or due <= now + early
