"""Reading single jobs for an audit, in this process or in another: plain values in, plain out."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import orjson
from pydantic import TypeAdapter, ValidationError

from baycompanion.audit.one_job.facts import JobFacts
from baycompanion.audit.one_job.files import FileSeen, JobFiles
from baycompanion.audit.one_job.gathering import facts_of
from baycompanion.job.events.chain import parsed
from baycompanion.store.ledger.entry import read_entry
from baycompanion.store.trouble import StoreTrouble


@dataclass(frozen=True, slots=True)
class JobAsked:
    """A job that is to be read."""

    folder: str
    entries: tuple[bytes, ...]
    """The lines of the ledger about it, the oldest first."""
    has_ledger: bool
    known: Mapping[str, str] | None = None
    """The hash of each file that its facts are known of, by name; None where they are not."""

    @property
    def entries_hash(self) -> str:
        """A hash of what the ledger says of it."""
        said = hashlib.sha256(b"ledger" if self.has_ledger else b"none")
        for line in self.entries:
            said.update(line)
        return said.hexdigest()


@dataclass(frozen=True, slots=True)
class JobGiven:
    """What reading a job has given."""

    files: tuple[FileSeen, ...]
    facts: bytes | None
    """As JSON; None where the files have the very hashes that were known."""


def read_jobs(jobs: Iterable[JobAsked]) -> list[JobGiven]:
    """Return what each of `jobs` gives."""
    return [read_one(job) for job in jobs]


def read_one(job: JobAsked) -> JobGiven:
    """Return the facts of `job`, unless its files are those that they are known of."""
    folder = Path(job.folder)
    if job.known is not None:
        files = JobFiles(folder)
        if _are_known(files, job.known):
            return JobGiven(tuple(files.seen.values()), None)
    files = JobFiles(folder)
    facts = facts_of(files, [read_entry(parsed(line)) for line in job.entries], job.has_ledger)
    return JobGiven(tuple(files.seen.values()), _as_json(facts))


def _are_known(files: JobFiles, known: Mapping[str, str]) -> bool:
    """Return whether every file has its known hash, which is empty for one that is missing."""
    try:
        return all(files.hash_of(name) == sha256 for name, sha256 in known.items())
    except (StoreTrouble, OSError):
        return False


@cache
def _adapter() -> TypeAdapter[JobFacts]:
    return TypeAdapter(JobFacts)


def _as_json(facts: JobFacts) -> bytes:
    try:
        return orjson.dumps(facts)
    except TypeError:  # half a character, out of a forged file, which no file can be written with
        told = f"{facts.job} cannot be audited: a file in it holds half a character."
        return orjson.dumps(replace(facts, findings=[], work=None, unread=[told]))


def read_facts(content: bytes) -> JobFacts | None:
    """Return the facts in `content`, None where there are none that this program could write."""
    try:
        facts = _adapter().validate_json(content)
        orjson.dumps(facts)  # of a number too large to be written, no finding has a key
    except (ValidationError, TypeError):
        return None
    return facts


def known_hashes(files: Sequence[FileSeen]) -> dict[str, str]:
    """Return the hash of each file by name, empty for one that was not there."""
    return {each.name: each.sha256 for each in files}
