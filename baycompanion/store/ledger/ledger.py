"""The ledger of a shop: an append-only file, an entry for each job that has ended."""

import contextlib
import json
import os
import stat
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from baycompanion.job.events.chain import canonical, parsed
from baycompanion.store.durable import flush, flush_folder, through_no_link
from baycompanion.store.job.journal import set_torn_aside
from baycompanion.store.ledger.entry import (
    BadEntry,
    Entry,
    EntryData,
    JobEntry,
    LedgerBegun,
    next_entry,
    read_entry,
)
from baycompanion.store.reading import refuse_special
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.store.turn import turn

NAME = "ledger.jsonl"

LONGEST_ENTRY = 65_536
"""Bytes of the longest line that can be an entry."""


class Ledger:
    """A ledger that is held for writing: nobody else adds to it meanwhile."""

    def __init__(self, path: Path) -> None:
        """Read the end of the ledger at `path` from the disk, and set a torn last line aside.

        Raises:
            StoreTrouble: It cannot be read or written, or its last entry was changed.
        """
        self._path = path
        self.last: Entry | None = None
        """The newest entry; None where there is no ledger yet."""
        self._size = 0
        try:
            self._read_end()
        except OSError as error:
            raise StoreTrouble(f"{path} cannot be read: {because(error)}.") from None

    def _read_end(self) -> None:
        if not self._path.exists():
            return
        _refuse_endless(self._path)
        with self._path.open("rb") as file:
            size = file.seek(0, os.SEEK_END)
            file.seek(max(0, size - LONGEST_ENTRY))
            whole, newline, torn = file.read().rpartition(b"\n")
        if not newline and size >= LONGEST_ENTRY:
            raise StoreTrouble(_damaged(self._path, "Its end is no entry"))
        self._size = size - len(torn)
        if torn:
            set_torn_aside(self._path, torn, self._size)
        if newline:
            self.last = _read_line(self._path, whole.rpartition(b"\n")[2])

    def entries_of(self, job: str) -> list[tuple[int, JobEntry]]:
        """Return what was entered of the job called `job`, each with its number, oldest first.

        Raises:
            StoreTrouble: The ledger cannot be read.
        """
        return [
            (entry.seq, entry.data)
            for entry in read_readable(self._path, containing=job)
            if isinstance(entry.data, JobEntry) and entry.data.job == job
        ]

    def append(self, data: EntryData, by: str, when: datetime) -> Entry:
        """Write the entry that says `data`, and return it when it is on the disk.

        Raises:
            StoreTrouble: The disk refused; the entry does not count as written.
        """
        new = self.last is None
        if new and not isinstance(data, LedgerBegun):
            self.append(LedgerBegun(), by, when)
        entry = next_entry(data, by, when, self.last)
        line = canonical(entry.as_dict()) + b"\n"
        try:
            self._write(line)
            if new:
                flush_folder(self._path.parent)
        except OSError as error:
            self._take_back()
            raise StoreTrouble(f"{self._path} cannot be written: {because(error)}.") from None
        self._size += len(line)
        self.last = entry
        return entry

    def _write(self, line: bytes) -> None:
        with through_no_link(self._path).open("ab", buffering=0) as file:
            left = memoryview(line)
            while left:
                left = left[file.write(left) :]
            flush(file.fileno())

    def _take_back(self) -> None:
        """Cut off what a failed write left behind; if even that fails, it counts as torn."""
        with contextlib.suppress(OSError):
            os.truncate(self._path, self._size)


@contextlib.contextmanager
def held_ledger(shop: Path) -> Iterator[Ledger]:
    """Hold the ledger of the shop in the folder `shop`, for one writer at a time.

    Raises:
        StoreTrouble: Somebody else has held it for too long, it cannot be read or locked, or its
            last entry was changed.
    """
    with turn(shop / NAME):
        yield Ledger(shop / NAME)


def ledger_lines(path: Path) -> Iterator[bytes]:
    """Yield the lines of the ledger at `path` with their ends, one after another; none without it.

    Raises:
        StoreTrouble: It cannot be read.
    """
    try:
        _refuse_endless(path)
        with path.open("rb") as file:
            yield from iter(lambda: file.readline(LONGEST_ENTRY), b"")
    except FileNotFoundError:
        return
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be read: {because(error)}.") from None


def _refuse_endless(path: Path) -> None:
    """Refuse a device or a pipe in place of the ledger; what a folder is, opening it says.

    Raises:
        StoreTrouble: There is one.
        OSError: There is nothing at `path`.
    """
    kept = path.stat()
    if not stat.S_ISDIR(kept.st_mode):
        refuse_special(path, kept)


def read_readable(path: Path, containing: str = "") -> Iterator[Entry]:
    """Yield the entries of the ledger at `path` that hold the text `containing`.

    A line that was damaged is passed over: an audit names it, and the rest still counts.

    Raises:
        StoreTrouble: The ledger cannot be read.
    """
    wanted = json.dumps(containing, ensure_ascii=False)[1:-1].encode()
    for line in ledger_lines(path):
        if wanted in line and b"{" in line and line.endswith(b"\n"):
            with contextlib.suppress(BadEntry, ValueError):
                yield read_entry(parsed(line))


def _read_line(path: Path, line: bytes) -> Entry:
    """Return the last entry, which the next one is tied to."""
    try:
        return read_entry(parsed(line))
    except BadEntry as error:
        raise StoreTrouble(_damaged(path, f"{error}")) from None
    except ValueError:
        raise StoreTrouble(_damaged(path, "The last line is no JSON")) from None


def _damaged(path: Path, what: str) -> str:
    return (
        f"{path}, last line: {what}. The ledger was damaged; keep it for the audit. "
        "Once it is renamed, a new one is begun."
    )
