"""The facts of all jobs of a shop in the order of their names: kept ones, and those read anew."""

import hashlib
import os
from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path
from typing import Literal

from baycompanion.audit.one_job.facts import JobFacts
from baycompanion.audit.one_job.files import FileSeen, have_stamps
from baycompanion.audit.reading.behind_stamp import Behind, behind_stamps, told_behind
from baycompanion.audit.reading.index import AuditIndex, KeptJob
from baycompanion.audit.reading.job_reading import (
    JobAsked,
    JobGiven,
    known_hashes,
    read_facts,
    read_one,
)
from baycompanion.audit.reading.ledger_join import LedgerJoin
from baycompanion.audit.reading.program import program_hash
from baycompanion.audit.reading.readers import Given, Readers

AT_ONCE = 16
"""Jobs that are asked for together."""


Trust = Literal["stamps", "hashes", "nothing"]
"""By what kept facts are known to be those of the files as they are now: their stamps, the hash of
all that is in them, or by nothing: there is no index then, none is read and none is written."""


@dataclass(frozen=True, slots=True)
class Way:
    """How an audit comes by the facts of the jobs; they are the same in all ways."""

    readers: Readers = field(default_factory=lambda: Readers(processes=1))
    trust: Trust = "nothing"


@dataclass(slots=True)
class HashedAgain:
    """What an audit has hashed that trusts hashes alone."""

    files: int = 0
    size: int = 0
    """Bytes."""
    behind: int = 0
    """Files with other content than the index knows, under the same size and time."""

    def count(self, files: Iterable[FileSeen]) -> None:
        """Count the files of a job."""
        stamps = [each.stamp for each in files if each.stamp is not None]
        self.files += len(stamps)
        self.size += sum(stamp.size for stamp in stamps)


@dataclass(slots=True)
class _Group:
    """Some jobs in hand."""

    names: list[str]
    kept: dict[str, KeptJob]
    """What the index has of them, be it of use or not."""
    facts: dict[str, JobFacts]
    """What stands as it is kept."""
    asked: list[JobAsked]
    """What has to be read."""
    read_at: int
    given: Given


class AllJobs:
    """The jobs of one shop, gone through once."""

    def __init__(self, jobs: Path, way: Way, index: AuditIndex | None) -> None:
        """Go through the folder `jobs` of a shop, whose `index` is there unless nothing is kept."""
        self._jobs = jobs
        self._way = way
        self._index = index
        self.hashed = HashedAgain() if way.trust == "hashes" else None
        self._files = hashlib.sha256()
        self._settled = index is not None

    @property
    def files_hash(self) -> str:
        """A hash over the state of all files that were gone through, as the index has it.

        It is empty where one could not be read, or was written so shortly before that it could
        still be written once more unseen.
        """
        return self._files.hexdigest() if self._settled else ""

    def facts(self, join: LedgerJoin, has_ledger: bool) -> Iterator[JobFacts]:
        """Yield the facts of each job with a folder; only some are in memory at a time."""
        names = join.folders()
        ahead: deque[_Group] = deque()
        at = f"{self._jobs}{os.sep}"
        while some := list(islice(names, AT_ONCE)):
            asked = [JobAsked(f"{at}{name}", join.lines_of(name), has_ledger) for name in some]
            ahead.append(self._begin(some, asked))
            if len(ahead) > 2 * self._way.readers.processes:
                yield from self._finish(ahead.popleft())
        while ahead:
            yield from self._finish(ahead.popleft())
        if self._index is not None:
            self._index.forget_all_but(join.folders())

    def _begin(self, names: list[str], jobs: list[JobAsked]) -> _Group:
        """Take what stands as it is kept, and begin to read the rest."""
        index = self._index
        kept = index.kept(names) if index is not None else {}
        facts: dict[str, JobFacts] = {}
        asked: list[JobAsked] = []
        for name, job in zip(names, jobs, strict=True):
            known = kept.get(name)
            if known is None or not _is_of(known, job):
                asked.append(job)
            elif self._way.trust == "stamps" and (found := _as_stamped(known, job.folder)):
                facts[name] = found
            else:
                asked.append(replace(job, known=known_hashes(known.files)))
        read_at = index.disk_now() if index is not None and asked else 0
        return _Group(names, kept, facts, asked, read_at, self._way.readers.read(asked))

    def _finish(self, group: _Group) -> Iterator[JobFacts]:
        """Yield the facts of a group, once those that were read are kept."""
        index = self._index
        new: list[KeptJob] = []
        for job, gave in zip(group.asked, group.given(), strict=True):
            name = Path(job.folder).name
            known = group.kept.get(name)
            given, facts = _with_facts(job, gave, known)
            group.facts[name] = facts
            if self.hashed is not None:
                self.hashed.count(given.files)
            if index is not None:
                behind = self._behind(known, given)
                read = (group.read_at, given.files, behind, given.facts or b"")
                kept = KeptJob(name, program_hash(), job.entries_hash, *read)
                group.kept[name] = kept
                if not facts.unread and kept.is_news(known):
                    new.append(kept)
        if index is not None:
            index.keep(new)
        for name in group.names:
            facts, seen = group.facts[name], group.kept.get(name)
            if seen is not None and seen.settled and not facts.unread:
                self._files.update(seen.as_told())
            else:
                self._settled = False
            yield _with_behind(facts, seen)

    def _behind(self, known: KeptJob | None, given: JobGiven) -> tuple[Behind, ...]:
        """Return which files changed behind their stamps, those told before first."""
        if known is None:
            return ()
        new = tuple(behind_stamps(known.files, known.read_at, given.files))
        if self.hashed is not None:
            self.hashed.behind += len(new)
        return (*known.behind, *new)


def _is_of(known: KeptJob, job: JobAsked) -> bool:
    """Return whether facts were worked out by this program from what the ledger says now."""
    return known.program == program_hash() and known.entries == job.entries_hash


def _as_stamped(known: KeptJob, folder: str) -> JobFacts | None:
    """Return the kept facts of a job if every file still has the stamp that it had."""
    return read_facts(known.facts) if have_stamps(folder, known.files) else None


def _with_facts(job: JobAsked, given: JobGiven, known: KeptJob | None) -> tuple[JobGiven, JobFacts]:
    """Return what `job` gave with its facts, which are those that were known where it gave none."""
    if given.facts is None and known is not None:
        given = replace(given, facts=known.facts)
    facts = read_facts(given.facts or b"")
    if facts is None:  # the index said something that no program wrote
        given = read_one(replace(job, known=None))
        facts = read_facts(given.facts or b"")
        assert facts is not None
    return given, facts


def _with_behind(facts: JobFacts, kept: KeptJob | None) -> JobFacts:
    """Return the facts of a job with what the index says of its files."""
    if kept is None or not kept.behind:
        return facts
    return replace(facts, findings=[*facts.findings, *told_behind(facts.job, kept.behind)])
