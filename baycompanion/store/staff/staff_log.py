"""The log of the staff file: who changed whose entry, each line tied to the one before."""

from datetime import datetime
from pathlib import Path
from typing import Literal

from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event
from baycompanion.store.chained_log import append_to_log, read_line, read_log
from baycompanion.store.job.journal import Journal
from baycompanion.store.reading import read_bytes

NAME = "staff-log.jsonl"


class Added(Data):
    """Somebody joined the staff, with a PIN."""

    kind = "added"
    who: str
    role: str


class PinGiven(Data):
    """Somebody has a new PIN."""

    kind = "pin-given"
    who: str


class Released(Data):
    """Somebody may do these procedures and no other; without any named, every one."""

    kind = "released"
    who: str
    procedures: tuple[str, ...] | None = None


class GuidanceSet(Data):
    """The guidance of this trainee fades after so many times right in a row; 0 is never."""

    kind = "guidance-set"
    who: str
    times: int | None = None
    """None stands for what the shop says."""


class SignedOff(Data):
    """A trainee may do this revision of a procedure without a mentor, until a day."""

    kind = "signed-off"
    who: str
    procedure: str
    revision: int
    job: str
    """The job that was watched, by the name of its folder."""
    until: str
    """The last day, like 2026-09-30."""
    watched_as: Literal["mentor", "second person"] | None = None
    """As what whoever signed stands in that job; None where they stand nowhere in it."""
    words: str | None = None
    """What they say that they watched."""


class TakenBack(Data):
    """A trainee works beside a mentor again, whatever was signed for this procedure."""

    kind = "taken-back"
    who: str
    procedure: str


class Retired(Data):
    """Somebody works here no more."""

    kind = "retired"
    who: str


class PinRefused(Data):
    """A wrong PIN was given, at whatever door; who gave it nobody knows."""

    kind = "pin-refused"
    who: str
    """The staff id that it was given for."""
    tries: int
    """Wrong ones in a row, this one included."""


KINDS: dict[str, type[Data]] = {
    kind.kind: kind
    for kind in (Added, PinGiven, Released, SignedOff, TakenBack, GuidanceSet, Retired, PinRefused)
}


def read_staff_log(path: Path) -> Journal:
    """Return the whole log at `path`; where there is none, nothing was changed by command.

    Raises:
        StoreTrouble: It cannot be read, or a whole line in it was changed; with the line.
    """
    return read_log(path, KINDS)


def readable_lines(path: Path) -> tuple[Event, ...]:
    """Return the lines of the log at `path` that are whole by themselves, chained or not.

    Raises:
        StoreTrouble: It cannot be read.
    """
    lines = read_bytes(path).split(b"\n") if path.exists() else ()
    return tuple(each for each in (read_line(line, KINDS) for line in lines) if each is not None)


def log_change(path: Path, what: Data, by: str, now: datetime) -> None:
    """Write at the end of the log at `path` that `by` did `what`, and return when it is durable.

    A torn last line is set aside first.

    Raises:
        StoreTrouble: The log cannot be read or written.
    """
    append_to_log(path, KINDS, [what], by, now)
