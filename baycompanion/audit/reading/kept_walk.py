"""What a walk through a whole shop has come to, as long as everything it read is as it was.

It is kept in the index. Of the jobs the stamps are trusted, or their content is hashed again; the
ledger, the staff and what was said of findings are hashed each time, for they are few files. What
hangs on the moment of the audit is no part of it.
"""

import hashlib
import os
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import orjson
from pydantic import TypeAdapter

from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job.files import FileSeen, are_same, have_stamps
from baycompanion.audit.reading.all_jobs import HashedAgain
from baycompanion.audit.reading.index import AuditIndex, read_files, told_job
from baycompanion.audit.reading.program import program_hash
from baycompanion.audit.rules.course import LastWord
from baycompanion.audit.rules.gate_counts import GateCount
from baycompanion.store import review
from baycompanion.store.ledger import ledger, seals
from baycompanion.store.reading import files_in, hash_of_file
from baycompanion.store.staff import staff, staff_log
from baycompanion.store.trouble import StoreTrouble

MOST = 20_000
"""Findings that are kept; a walk that has come to more is done anew each time. Own choice."""


@dataclass(frozen=True, slots=True)
class CameTo:
    """What a walk through all jobs of a shop has come to, in its order."""

    found: Sequence[Finding | LastWord]
    """The findings, and the last word of each job under way: what is asked of it hangs on now."""
    jobs: int
    seal: str
    gates: Sequence[GateCount]


class KeptWalk:
    """The walk through one shop that its index keeps."""

    def __init__(self, shop: Path, jobs: Path, index: AuditIndex, day: str) -> None:
        """Begin with the shop as it is now, `jobs` the folder of its jobs.

        `day` is that of the audit, in UTC.
        """
        self._shop = shop
        self._jobs = f"{jobs}{os.sep}"
        self._index = index
        self._day = day
        self._before = self._beside_jobs()

    def still(self) -> CameTo | None:
        """Return what the last walk has come to, None where a stamp is other than then."""
        kept = self._index.walk() if self._before else None
        if kept is None:
            return None
        rests_on, came_to = kept
        files = hashlib.sha256()
        jobs = 0
        try:
            for job, told, behind in self._index.files():
                jobs += 1
                files.update(told_job(job, told, behind))
                if not _stands(f"{self._jobs}{job}", read_files(told)):
                    return None
            if rests_on != self._rests_on(files.hexdigest()) or jobs != _folders(self._jobs):
                return None
            walk = _adapter().validate_json(came_to)
            orjson.dumps(walk)  # of a number too large to be written, no finding has a key
            return walk
        except (ValueError, TypeError, OSError):  # what no program has written, or no folder
            return None

    def hashed_again(self) -> HashedAgain | None:
        """Hash all files of the jobs that the index has; return None where one is another."""
        hashed = HashedAgain()
        for job, told, _ in self._index.files():
            files = read_files(told)
            hashed.count(files)
            if not are_same(f"{self._jobs}{job}", files):
                return None
        return hashed

    def keep(self, came_to: CameTo, files_hash: str) -> None:
        """Keep what a walk has come to, if all that it read was settled and stayed as it was."""
        if not files_hash or not self._before or self._before != self._beside_jobs():
            return
        try:
            told = orjson.dumps(came_to)
        except TypeError:  # half a character, which no file can be written with
            return
        self._index.keep_walk(self._rests_on(files_hash), told)

    def _rests_on(self, files_hash: str) -> str:
        return hashlib.sha256(f"{self._before} {files_hash}".encode()).hexdigest()

    def _beside_jobs(self) -> str:
        """Return a hash of all that is read but the jobs; empty where something cannot be read."""
        told = hashlib.sha256(f"{program_hash()} {self._day}".encode())
        names = (ledger.NAME, staff.NAME, staff_log.NAME, review.NAME)
        files = [self._shop / name for name in names]
        try:
            files += files_in(self._shop / seals.SEALS, ".pem")
            for path in files:
                told.update(path.name.encode())
                told.update((hash_of_file(path) if path.exists() else "none").encode())
        except (StoreTrouble, OSError, ValueError):
            return ""
        return told.hexdigest()


def _stands(folder: str, files: Sequence[FileSeen]) -> bool:
    """Return whether the `folder` of a job is there, with all its `files` as they were."""
    there = any(each.stamp for each in files) or os.path.isdir(folder)  # noqa: PTH112  # as in files.py
    return there and have_stamps(folder, files)


def _folders(jobs: str) -> int:
    """Return how many folders there are in the folder `jobs`.

    Raises:
        OSError: It cannot be read.
        ValueError: One of them is a link, and lies elsewhere.
    """
    number = 0
    with os.scandir(jobs) as entries:
        for entry in entries:
            if entry.is_symlink():
                raise ValueError("a link among the jobs")
            number += entry.is_dir()
    return number


@cache
def _adapter() -> TypeAdapter[CameTo]:
    return TypeAdapter(CameTo)
