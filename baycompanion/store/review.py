"""What a shop made of its findings: looked at, or decided about a gate. Records are never touched.

The lines stand in a chained log of their own beside the ledger. They silence nothing: a finding
that was looked at is still found, and marked with the word for it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event
from baycompanion.job.events.moment import day_of
from baycompanion.store.chained_log import append_to_log, read_line
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line

NAME = "review.jsonl"

FORMAT: Literal[1] = 1
"""The format written now; the first line carries it."""

LONGEST_WORDS = 1000
"""Characters of a word for a finding. Own choice: some twelve lines of a screen."""

Course = Literal["mend-the-gate", "train", "accept-until"]
"""What is done about a gate that is overridden."""

COURSES: dict[Course, str] = {
    "mend-the-gate": "mend the gate",
    "train": "train",
    "accept-until": "accept it until a day",
}
"""Each course in words."""


def _check_day(text: str) -> str:
    if date.fromisoformat(text).isoformat() != text:
        raise ValueError("no date as it is written here")
    return text


class ReviewBegun(Data):
    """The review of this shop begins here."""

    kind = "begun"
    format: Literal[1] = FORMAT


class LookedAt(Data):
    """A finding was looked at."""

    kind = "looked-at"
    finding: str
    """Its key."""
    rule: str
    job: str | None = None
    """The job that it is about, where it is about one."""
    about: str | None = None
    words: str
    """What it was."""
    own: bool | None = None
    """Whether whoever looked stands behind its events themselves."""
    signed: Literal["pin"] | None = None
    """How whoever looked showed who they are."""


class Decided(Data):
    """It was decided what is done about a gate that is overridden."""

    kind = "decided"
    gate: str
    procedure: str
    revision: Annotated[int, Field(ge=1)]
    """Of the procedure: a newer one is another gate, about which nothing is decided yet."""
    course: Course
    until: Annotated[str, AfterValidator(_check_day)] | None = None
    """The last day of an acceptance, like 2026-09-30."""
    words: str
    signed: Literal["pin"] | None = None


KINDS: dict[str, type[Data]] = {kind.kind: kind for kind in (ReviewBegun, LookedAt, Decided)}


@dataclass(frozen=True, slots=True)
class Word:
    """What somebody said of a finding or of a gate, and when."""

    seq: int
    """The number of its line."""
    at: str
    by: str
    words: str
    own: bool = field(default=False, kw_only=True)
    """Whether it was their own doing that they looked at."""

    @property
    def day(self) -> str:
        """The day it was said, UTC."""
        return self.at[:10]


@dataclass(frozen=True, slots=True)
class Decision(Word):
    """What was decided about a gate."""

    course: Course
    until: str | None

    @property
    def told(self) -> str:
        """Course, day, person and words, in a sentence."""
        what = f"accept it until {self.until}" if self.until else COURSES[self.course]
        return f"On {self.day} {self.by} decided: {what}. “{self.words}”"

    def holds_on(self, day: str) -> bool:
        """Return whether it is an acceptance that still holds on `day`, the last one included."""
        return self.until is not None and day <= self.until


Gate = tuple[str, int, str]
"""Procedure, revision and gate."""


@dataclass(slots=True)
class Review:
    """All that was said of the findings of one shop, the newest last."""

    looked: dict[str, list[Word]] = field(default_factory=dict)
    """By the key of the finding."""
    decisions: dict[Gate, list[Decision]] = field(default_factory=dict)


def read_review(shop: Path) -> Review:
    """Return the review of the shop in the folder `shop`; an empty one where nothing was said.

    A line that was damaged is passed over: an audit names it, and the rest still counts.

    Raises:
        StoreTrouble: It cannot be read.
    """
    review = Review()
    for event in _readable(shop / NAME):
        said = (event.seq, event.at, event.by)
        if isinstance(event.data, LookedAt):
            word = Word(*said, clean_line(event.data.words), own=bool(event.data.own))
            review.looked.setdefault(event.data.finding, []).append(word)
        if isinstance(event.data, Decided):
            data = event.data
            gate = (data.procedure, data.revision, data.gate)
            decision = Decision(*said, clean_line(data.words), data.course, data.until)
            review.decisions.setdefault(gate, []).append(decision)
    return review


def review_lines(shop: Path) -> tuple[list[bytes], int]:
    """Return the whole lines of the review, without their ends, and the bytes after the last one.

    Raises:
        StoreTrouble: It cannot be read.
    """
    path = shop / NAME
    whole, newline, torn = (read_bytes(path) if path.exists() else b"").rpartition(b"\n")
    return whole.split(b"\n") if newline else [], len(torn)


def _readable(path: Path) -> Iterator[Event]:
    lines, _ = review_lines(path.parent)
    for line in lines:
        event = read_line(line, KINDS)
        if event is not None:
            yield event


def look_at(shop: Path, looked: LookedAt, by: Person, now: datetime) -> None:
    """Keep that `by`, who has shown who they are, looked at a finding; durable on return.

    Raises:
        StoreTrouble: They are no supervisor, there is no word, or it cannot be written.
    """
    _refuse_others(by)
    words = _checked(looked.words)
    _append(shop, looked.model_copy(update={"words": words, "signed": by.signed}), by, now)


def decide(shop: Path, decided: Decided, by: Person, now: datetime) -> None:
    """Keep what `by`, who has shown who they are, decided about a gate; durable on return.

    Raises:
        StoreTrouble: They are no supervisor, there is no word, a day is missing or has passed, or
            it cannot be written.
    """
    _refuse_others(by)
    words = _checked(decided.words)
    if (decided.course == "accept-until") != (decided.until is not None):
        raise StoreTrouble("An acceptance has a last day, and nothing else has. Write it so.")
    if decided.until is not None and decided.until < day_of(now):
        raise StoreTrouble(f"{decided.until} has passed. Write a day to come.")
    _append(shop, decided.model_copy(update={"words": words, "signed": by.signed}), by, now)


def _refuse_others(by: Person) -> None:
    if by.role != "supervisor":
        raise StoreTrouble(f"{by.id} is a {by.role}; only a supervisor has the word here.")


def _checked(words: str) -> str:
    told = clean_line(words)
    if not told:
        raise StoreTrouble("Write what it was, in a few words.")
    if len(told) > LONGEST_WORDS:
        raise StoreTrouble(f"These are {len(told)} characters. Write {LONGEST_WORDS} at most.")
    return told


def _append(shop: Path, data: Data, by: Person, now: datetime) -> None:
    append_to_log(shop / NAME, KINDS, [data], by.id, now, begins=ReviewBegun())
