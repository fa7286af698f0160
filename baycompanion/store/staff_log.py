"""The log of the staff file: who changed whose entry, each line tied to the one before."""

import json
from datetime import datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from baycompanion.job.chain import FIRST_PREV, canonical, hash_event
from baycompanion.job.event import Event, seal
from baycompanion.job.events import Data
from baycompanion.job.moment import milliseconds
from baycompanion.store.durable import flush_folder
from baycompanion.store.journal import Journal, JournalWriter, set_torn_aside
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.store.turn import turn

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
    kind.kind: kind for kind in (Added, PinGiven, Released, Retired, PinRefused)
}


def read_staff_log(path: Path) -> Journal:
    """Return the whole log at `path`; where there is none, nothing was changed by command.

    Raises:
        StoreTrouble: It cannot be read, or a whole line in it was changed; with the line.
    """
    content = read_bytes(path) if path.exists() else b""
    whole, newline, torn = content.rpartition(b"\n")
    events: list[Event] = []
    for number, line in enumerate(whole.split(b"\n") if newline else (), start=1):
        events.append(_read_line(path, number, line, events[-1] if events else None))
    return Journal(tuple(events), torn, len(content) - len(torn))


def log_change(path: Path, what: Data, by: str, now: datetime) -> None:
    """Write at the end of the log at `path` that `by` did `what`, and return when it is durable.

    A torn last line is set aside first.

    Raises:
        StoreTrouble: The log cannot be read or written.
    """
    with turn(path):
        log = read_staff_log(path)
        if log.torn:
            set_torn_aside(path, log.torn, log.size)
        last = log.events[-1] if log.events else None
        event = seal(what, by, now, *((last.seq + 1, last.hash) if last else ()))
        writer = JournalWriter(path, log.size)
        try:
            writer.append([event])
        finally:
            writer.close()
        if last is None:
            _flush_folder_of(path)


def _flush_folder_of(path: Path) -> None:
    try:
        flush_folder(path.parent)
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None


def _read_line(path: Path, number: int, line: bytes, before: Event | None) -> Event:
    try:
        return _read_event(json.loads(line), before)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, ValidationError):
        raise StoreTrouble(
            f"{path}:{number}: This line was changed after it was written. "
            "Keep the file for the audit; moved elsewhere, the next change begins a new one."
        ) from None


def _read_event(raw: dict[str, Any], before: Event | None) -> Event:
    """Return the event in `raw`, which follows `before`.

    Raises:
        ValueError: It was changed; or one of the errors of a value that is no event.
    """
    place = (before.seq + 1, before.hash) if before else (1, FIRST_PREV)
    if (raw["seq"], raw["prev"]) != place or raw["hash"] != hash_event(raw):
        raise ValueError("not tied to the one before")
    milliseconds(raw["at"])
    data = KINDS[raw["kind"]].model_validate(raw["data"])
    event = Event(raw["seq"], raw["at"], str(raw["by"]), data, raw["prev"], raw["hash"])
    if canonical(event.as_dict()) != canonical(raw):
        raise ValueError("more or other members than an event has")
    return event
