"""The index of an audit: the facts of each job beside the state of the files they were made from.

It is an SQLite file in the shop folder, and can be deleted at any time. What cannot be read, is
damaged, holds codes or was made by another program counts as nothing: the records are read again
instead.
"""

import contextlib
import hashlib
import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import orjson

from baycompanion.audit.one_job.files import FileSeen, Stamp
from baycompanion.audit.reading.behind_stamp import Behind
from baycompanion.text.clean import json_is_clean

NAME = "audit-index.sqlite"

OURS = 0x42435849
"""Stands in the head of the file, so that one of another program is known (application_id)."""

FORM = 2
"""The form of the tables; a file of another form is made anew."""

PATIENCE = 10
"""Seconds that another audit is waited for; each of its batches takes well below one."""

TICK = 2_000_000_000
"""Nanoseconds of the coarsest tick of a file's time: FAT keeps 2 s (Microsoft's description of
GetFileTime). A file written that shortly before it was read could be written once more unseen."""

_TABLE = """
CREATE TABLE IF NOT EXISTS job (
    job TEXT PRIMARY KEY, program TEXT, entries TEXT, read_at INTEGER, files TEXT, behind TEXT,
    facts BLOB, whole TEXT
)
"""

_WALK = "CREATE TABLE IF NOT EXISTS walk (rests_on TEXT, came_to BLOB, whole TEXT)"
"""What the last walk through all jobs has come to, in one row."""

SOME = 256
"""Jobs whose files are asked for together; between them others can write."""

_GOES_WITHOUT = {
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_PROTOCOL,
    sqlite3.SQLITE_READONLY,
}
"""What keeps an index from being used without being its own fault."""


@dataclass(frozen=True, slots=True)
class KeptJob:
    """One job as the index has it."""

    job: str
    program: str
    """By which program its facts were worked out."""
    entries: str
    """A hash of what the ledger said of it."""
    read_at: int
    """When it was read, in nanoseconds since 1970, UTC, by the clock of its disk."""
    files: tuple[FileSeen, ...]
    behind: tuple[Behind, ...]
    facts: bytes
    """As JSON."""

    @property
    def settled(self) -> bool:
        """Whether no file can be written any more without a newer time than the one seen."""
        stamps = [each.stamp for each in self.files if each.stamp is not None]
        newest = max((max(each.modified, each.changed) for each in stamps), default=0)
        return newest + TICK <= self.read_at

    def is_news(self, known: "KeptJob | None") -> bool:
        """Return whether more than the time of reading is other than what is `known`."""
        return known is None or replace(known, read_at=self.read_at) != self

    def as_row(self) -> tuple[str | int | bytes, ...]:
        """Return the job as a row of the table, with a hash of the whole at its end."""
        state = (_told_files(self.files), _told_behind(self.behind))
        row = (self.job, self.program, self.entries, self.read_at, *state, self.facts)
        return (*row, _hash_of(row))

    def as_told(self) -> bytes:
        """Return which files it has and what is told of them, as a hash over all jobs takes it."""
        return told_job(self.job, _told_files(self.files), _told_behind(self.behind))


def _told_files(files: Iterable[FileSeen]) -> str:
    """Return `files` as they stand in the index."""
    told = [[each.name, each.sha256, *each.stamp] if each.stamp else [each.name] for each in files]
    return orjson.dumps(told).decode()


def _told_behind(behind: Iterable[Behind]) -> str:
    return orjson.dumps([[each.file, each.before] for each in behind]).decode()


def told_job(job: str, files: str, behind: str) -> bytes:
    """Return what the index has of one job, as a hash over all of them takes it."""
    return f"{job}\0{files}\0{behind}\n".encode()


def read_files(told: str) -> tuple[FileSeen, ...]:
    """Return the files that stand in the index as `told`.

    Raises:
        ValueError: No program has written that.
        TypeError: As before.
    """
    return tuple(
        FileSeen(name, Stamp(*rest[1:]), rest[0]) if rest else FileSeen(name, None)
        for name, *rest in orjson.loads(told)
    )


def _hash_of(row: Sequence[str | int | bytes]) -> str:
    *head, facts = row
    assert isinstance(facts, bytes)
    return hashlib.sha256(orjson.dumps(head) + facts).hexdigest()


def _read_row(row: Sequence[Any]) -> KeptJob | None:
    """Return the job of a row, None where a part of it was damaged."""
    try:
        *said, whole = row
        if _hash_of(said) != whole:
            return None
        job, program, entries, read_at, files, behind, facts = said
        if not json_is_clean(facts):
            return None
        seen = read_files(files)
        old = tuple(Behind(*each) for each in orjson.loads(behind))
    except (ValueError, TypeError, AssertionError):
        return None
    return KeptJob(job, program, entries, read_at, seen, old, facts)


class AuditIndex:
    """The index of one shop. One that cannot be used knows nothing, and keeps nothing."""

    def __init__(self, shop: Path) -> None:
        """Open the index in the folder `shop`, or begin one there."""
        self._path = shop / NAME
        self._base: sqlite3.Connection | None = None
        self._writes = False
        for _ in range(2):  # a damaged one is gone the second time
            if self._base is None and shop.is_dir() and not self._path.is_symlink():
                with self._mishaps():
                    self._open()

    def _open(self) -> None:
        base = self._base = sqlite3.connect(self._path, timeout=PATIENCE)
        [ours] = base.execute("PRAGMA application_id").fetchone()
        [form] = base.execute("PRAGMA user_version").fetchone()
        [tables] = base.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        if tables and (ours, form) != (OURS, FORM):
            raise sqlite3.DatabaseError
        base.execute("PRAGMA synchronous = OFF")  # what a power cut damages is made anew
        try:
            with base:
                base.execute("BEGIN IMMEDIATE")
                base.execute(_TABLE)
                base.execute(_WALK)
                base.execute(f"PRAGMA application_id = {OURS}")
                base.execute(f"PRAGMA user_version = {FORM}")
            self._writes = True
        except sqlite3.OperationalError as error:
            if not tables or not _goes_without(error):
                raise

    @contextlib.contextmanager
    def _mishaps(self) -> Iterator[None]:
        """Go on without the index if it cannot be used; if that is its own fault, remove it."""
        try:
            yield
        except sqlite3.Error as error:
            self.close()
            if not _goes_without(error):
                with contextlib.suppress(OSError):
                    self._path.unlink(missing_ok=True)

    def close(self) -> None:
        """Close it; it knows nothing after that."""
        if self._base is not None:
            self._base.close()
        self._base, self._writes = None, False

    def disk_now(self) -> int:
        """Return the time by the clock of the disk, in nanoseconds since 1970, UTC; 0 without one.

        The disk of a server has a clock of its own, so its time is what it writes on a file.
        """
        if not self._writes:
            return 0
        try:
            os.utime(self._path)
            return self._path.stat().st_mtime_ns
        except OSError:
            return 0

    def kept(self, jobs: Sequence[str]) -> dict[str, KeptJob]:
        """Return what the index has of `jobs`, by name; they are few."""
        found: dict[str, KeptJob] = {}
        if self._base is not None:
            with self._mishaps():
                marks = ", ".join("?" * len(jobs))
                for row in self._base.execute(f"SELECT * FROM job WHERE job IN ({marks})", jobs):
                    job = _read_row(row)
                    if job is not None:
                        found[job.job] = job
        return found

    def keep(self, jobs: Iterable[KeptJob]) -> None:
        """Keep those of `jobs` that are settled, all or none of them."""
        rows = [job.as_row() for job in jobs if job.settled]
        if self._base is not None and self._writes and rows:
            with self._mishaps(), self._base:
                self._base.executemany("REPLACE INTO job VALUES (?, ?, ?, ?, ?, ?, ?, ?)", rows)

    def files(self) -> Iterator[tuple[str, str, str]]:
        """Yield each job that it has, in order of the names: its files and what changed behind.

        Both stand there as they are told.
        """
        after = ""
        some: list[tuple[str, str, str]] = []
        while self._base is not None:
            asked = "SELECT job, files, behind FROM job WHERE job > ? ORDER BY job LIMIT ?"
            with self._mishaps():
                some = self._base.execute(asked, (after, SOME)).fetchall()
            yield from some
            if len(some) < SOME:
                return
            after = some[-1][0]

    def walk(self) -> tuple[str, bytes] | None:
        """Return what the kept walk rests on and what it has come to; None without one."""
        found = None
        if self._base is not None:
            with self._mishaps():
                found = self._base.execute("SELECT rests_on, came_to, whole FROM walk").fetchone()
        with contextlib.suppress(ValueError, TypeError, AssertionError):
            rests_on, came_to, whole = found or ("", b"", "")
            if _hash_of((rests_on, came_to)) == whole and json_is_clean(came_to):
                return rests_on, came_to
        return None

    def keep_walk(self, rests_on: str, came_to: bytes) -> None:
        """Keep what a walk has come to in place of the one before."""
        if self._base is not None and self._writes:
            row = (rests_on, came_to)
            with self._mishaps(), self._base:
                self._base.execute("DELETE FROM walk")
                self._base.execute("INSERT INTO walk VALUES (?, ?, ?)", (*row, _hash_of(row)))

    def forget_all_but(self, jobs: Iterable[str]) -> None:
        """Forget the jobs of which the folder is not there any more."""
        if self._base is not None and self._writes:
            with self._mishaps(), self._base:
                self._base.execute("CREATE TEMP TABLE there (job TEXT PRIMARY KEY)")
                self._base.executemany("INSERT INTO there VALUES (?)", ((job,) for job in jobs))
                self._base.execute("DELETE FROM job WHERE job NOT IN (SELECT job FROM there)")


def _goes_without(error: sqlite3.Error) -> bool:
    """Return whether `error` is not the fault of the file itself."""
    code = getattr(error, "sqlite_errorcode", None)
    return code is not None and code & 0xFF in _GOES_WITHOUT
