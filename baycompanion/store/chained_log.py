"""A log of the shop that only grows: small, each line tied by its hash to the one before."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from baycompanion.job.events.chain import FIRST_PREV, canonical, hash_event, parsed
from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event, has_codes, seal
from baycompanion.job.events.moment import milliseconds
from baycompanion.store.durable import flush_folder
from baycompanion.store.job.journal import Journal, JournalWriter, set_torn_aside
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.store.turn import turn

Kinds = Mapping[str, type[Data]]
"""What the lines of one log can carry, by the stable word for it."""


AUDITED = "Keep the file for the audit; moved elsewhere, the next change begins a new one."
"""What to do with a log of which a line was changed, where an audit reads it."""


def read_log(path: Path, kinds: Kinds, changed: str = AUDITED) -> Journal:
    """Return the whole log at `path`; where there is none, an empty one.

    `changed` says what to do where a line of it was changed.

    Raises:
        StoreTrouble: It cannot be read, or a whole line in it was changed; with the line.
    """
    content = read_bytes(path) if path.exists() else b""
    whole, newline, torn = content.rpartition(b"\n")
    events: list[Event] = []
    for number, line in enumerate(whole.split(b"\n") if newline else (), start=1):
        before = events[-1] if events else None
        event = read_line(line, kinds)
        if event is None or not _follows(event, before):
            raise StoreTrouble(
                f"{path}:{number}: This line was changed after it was written. {changed}"
            )
        events.append(event)
    return Journal(tuple(events), torn, len(content) - len(torn))


def append_to_log(
    path: Path,
    kinds: Kinds,
    what: Sequence[Data],
    by: str,
    now: datetime,
    begins: Data | None = None,
    changed: str = AUDITED,
) -> None:
    """Write at the end of the log at `path` that `by` did `what`, and return when it is durable.

    A torn last line is set aside first. `begins` stands before the first line of a new log;
    `changed` says what to do where a line of it was changed.

    Raises:
        StoreTrouble: The log cannot be read or written.
    """
    with turn(path):
        log = read_log(path, kinds, changed)
        if log.torn:
            set_torn_aside(path, log.torn, log.size)
        events = list(log.events[-1:])
        for data in [begins, *what] if begins is not None and not events else what:
            last = events[-1] if events else None
            events.append(seal(data, by, now, *((last.seq + 1, last.hash) if last else ())))
        writer = JournalWriter(path, log.size)
        try:
            writer.append(events[bool(log.events) :])
        finally:
            writer.close()
        if not log.events:
            _flush_folder_of(path)


def _flush_folder_of(path: Path) -> None:
    try:
        flush_folder(path.parent)
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None


def read_line(line: bytes, kinds: Kinds) -> Event | None:
    """Return the event in one line if it is whole by itself, else None; its place is not asked."""
    if b"{" not in line:  # known at once: a file of line ends has a million such lines
        return None
    try:
        return _read_event(parsed(line), kinds)
    except (ValueError, KeyError, TypeError, AttributeError, ValidationError):
        return None


def _follows(event: Event, before: Event | None) -> bool:
    place = (before.seq + 1, before.hash) if before else (1, FIRST_PREV)
    return (event.seq, event.prev) == place


def _read_event(raw: dict[str, Any], kinds: Kinds) -> Event:
    """Return the event in `raw`.

    Raises:
        ValueError: It was changed; or one of the errors of a value that is no event.
    """
    if raw["hash"] != hash_event(raw) or type(raw["seq"]) is not int:
        raise ValueError("changed after it was written")
    milliseconds(raw["at"])
    data = kinds[raw["kind"]].model_validate(raw["data"])
    event = Event(raw["seq"], raw["at"], str(raw["by"]), data, raw["prev"], raw["hash"])
    if canonical(event.as_dict()) != canonical(raw):
        raise ValueError("more or other members than an event has")
    if has_codes(raw):
        raise ValueError("control codes, which this program never writes")
    return event
