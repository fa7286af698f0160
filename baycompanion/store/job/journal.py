"""The journal of one job: an append-only file of events, one to a line, durable before told."""

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from baycompanion.job.events.chain import canonical, parsed
from baycompanion.job.events.event import BadEvent, Event, read_event
from baycompanion.store.durable import flush, flush_folder, through_no_link
from baycompanion.store.job.journal_ends import End, written_ends
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble, because

NAME = "journal.jsonl"
TORN = "journal.torn"
"""Where torn last lines are set aside, one after the other, never dropped; a ledger's likewise."""


@dataclass(frozen=True, slots=True)
class Journal:
    """What a journal file holds: its whole events, and the bytes after the last whole line."""

    events: tuple[Event, ...]
    torn: bytes
    size: int
    """Bytes up to and with the last whole line."""


def read_journal(path: Path) -> Journal:
    """Return the journal at `path`.

    Raises:
        StoreTrouble: It cannot be read, or a whole line in it is no event or was changed; the
            message names the line.
    """
    journal, trouble = read_as_far(path)
    if trouble is not None:
        raise trouble
    return journal


def read_as_far(path: Path) -> tuple[Journal, StoreTrouble | None]:
    """Return the journal at `path` up to its first damaged line, and what that line's trouble is.

    Raises:
        StoreTrouble: It cannot be read, or not even its first line is whole.
    """
    content = read_bytes(path)
    whole, newline, torn = content.rpartition(b"\n")
    events: list[Event] = []
    trouble = None
    for number, line in enumerate(whole.split(b"\n") if newline else (), start=1):
        try:
            events.append(_read_line(path, number, line, events[-1] if events else None))
        except StoreTrouble as found:
            trouble = found
            break
    if not events:
        raise trouble or StoreTrouble(f"{path} holds no whole event, so there is no job in it.")
    return Journal(tuple(events), torn, len(content) - len(torn)), trouble


def read_ends(path: Path) -> tuple[Event, End]:
    """Return the first event of the journal at `path`, and what its end tells, for lists.

    Raises:
        StoreTrouble: It cannot be read, or its first line is no event.
    """
    first, end = written_ends(path)
    return _read_line(path, 1, first, None), end


def _read_line(path: Path, number: int, line: bytes, before: Event | None) -> Event:
    try:
        return read_event(parsed(line), before)
    except BadEvent as error:
        what = f"{error}".rstrip(".")
    except ValueError:
        what = "This line is no JSON"
    raise StoreTrouble(f"{path}:{number}: {what}. The journal was damaged; keep it for the audit.")


class JournalWriter:
    """An open journal that takes events at its end; the lock of its job is held meanwhile."""

    def __init__(self, path: Path, size: int) -> None:
        """Open the journal at `path`, whose whole lines end at byte `size`.

        Raises:
            StoreTrouble: It cannot be opened for writing.
        """
        self._path = path
        self._size = size
        try:
            self._file = through_no_link(path).open("ab", buffering=0)
        except OSError as error:
            raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None

    def append(self, events: Iterable[Event]) -> None:
        """Write `events` and return when they are on the disk.

        Raises:
            StoreTrouble: Somebody else wrote meanwhile, or the disk refused; in both cases none
                of `events` counts as written.
        """
        lines = b"".join(canonical(event.as_dict()) + b"\n" for event in events)
        try:
            self._refuse_changed()
            self._write_all(lines)
        except OSError as error:
            self._take_back()
            raise StoreTrouble(
                f"This could not be saved: {because(error)}. "
                "Make room or plug the disk in, and try again."
            ) from None
        self._size += len(lines)

    def _refuse_changed(self) -> None:
        """Refuse to write where the file at the path is not the one that was read, as it was."""
        here, there = os.fstat(self._file.fileno()), self._path.stat()
        if here.st_size != self._size or not os.path.samestat(here, there):
            raise StoreTrouble(
                f"{self._path} was changed by somebody else meanwhile. Open the job again."
            )

    def _write_all(self, lines: bytes) -> None:
        left = memoryview(lines)
        while left:
            left = left[self._file.write(left) :]
        flush(self._file.fileno())

    def _take_back(self) -> None:
        """Cut off what a failed write left behind; if even that fails, it counts as torn."""
        try:
            os.truncate(self._path, self._size)
            flush(self._file.fileno())
        except OSError:
            return

    def close(self) -> None:
        """Close the file."""
        self._file.close()


def set_torn_aside(path: Path, torn: bytes, size: int) -> None:
    """Move `torn`, the bytes of `path` from byte `size` on, to a file of their own, and cut it.

    Raises:
        StoreTrouble: The disk refuses; the file stands as it was.
    """
    try:
        with through_no_link(path.with_suffix(".torn")).open("ab") as file:
            file.write(torn + b"\n")
            file.flush()
            flush(file.fileno())
        flush_folder(path.parent)
        os.truncate(path, size)
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None
