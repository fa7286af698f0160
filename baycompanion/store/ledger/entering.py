"""Entering jobs in the ledger of their shop: when they end, or as soon as possible after it."""

import contextlib
import hashlib
import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Opened
from baycompanion.job.events.moment import write_moment
from baycompanion.store.job import journal
from baycompanion.store.job.folder import (
    RECORD,
    has_record,
    job_folders,
    read_job,
    record_of,
    write_record,
)
from baycompanion.store.job.journal_ends import UNDER_WAY
from baycompanion.store.job.lock import JobLock
from baycompanion.store.ledger.entry import Ended, Enrolled, JobEntry
from baycompanion.store.ledger.ledger import NAME, Ledger, held_ledger, read_readable
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_sentence
from baycompanion.text.problem import BadFile

JOBS = "jobs"


def enter(folder: Path, when: datetime) -> None:
    """Enter the ended job in `folder` as it stands, once; whoever calls this holds its lock.

    Where the shop has no ledger, one is begun, and the jobs that had ended before are enrolled. A
    folder that does not lie among the jobs of a shop has no ledger to be entered in.

    Raises:
        StoreTrouble: The ledger or a file of the job cannot be read or written.
    """
    if folder.parent.name != JOBS:
        return
    shop = folder.parent.parent
    with held_ledger(shop) as ledger:
        if ledger.last is None:
            _enrol(ledger, folder.parent, when, but=folder)
        by, ended = _standing(folder)
        earlier = ledger.entries_of(folder.name)
        if all(said.head != ended.head for _, said in earlier):
            follows = earlier[-1][0] if earlier else None
            ledger.append(ended.model_copy(update={"follows": follows}), by, when)


def enter_missing(shop: Path, when: datetime) -> None:
    """Enter the ended jobs of `shop` that a crash, a full disk or an older version left out.

    Where the shop has no ledger, one is begun, and they are enrolled.

    A job that somebody holds, or that cannot be read, is left for the next time.

    Raises:
        StoreTrouble: The ledger cannot be read or written.
    """
    missing = list(_not_entered(shop))
    if missing and not (shop / NAME).exists():
        with held_ledger(shop) as ledger:
            if ledger.last is None:
                _enrol(ledger, shop / JOBS, when)
        missing = list(_not_entered(shop))
    for folder in missing:
        _enter_held(folder, when)


def _enter_held(folder: Path, when: datetime) -> None:
    """Enter the job in `folder`, its record written first; nothing where somebody holds it."""
    try:
        by, ended = _standing(folder)
        lock = JobLock(folder, by, write_moment(when))
    except StoreTrouble:
        return
    try:
        # An entry without its record is better than none.
        with contextlib.suppress(StoreTrouble, BadFile):
            if not has_record(folder, ended.head):
                write_record(folder, record_of(read_job(folder)))
        enter(folder, when)
    finally:
        lock.release()


def _not_entered(shop: Path) -> Iterator[Path]:
    """Yield the folders of ended jobs of which the ledger knows no entry as they stand."""
    known = {
        (entry.data.job, entry.data.head)
        for entry in read_readable(shop / NAME)
        if isinstance(entry.data, JobEntry)
    }
    for folder, head in _ended(shop / JOBS):
        if (folder.name, head) not in known:
            yield folder


def _ended(jobs: Path) -> Iterator[tuple[Path, str]]:
    """Yield the folders of the ended jobs that can be read, with the last hash of each."""
    for folder in job_folders(jobs):
        with contextlib.suppress(StoreTrouble):
            first, end = journal.read_ends(folder / journal.NAME)
            if (
                end.status != UNDER_WAY
                and clean_sentence(folder.name) == folder.name
                and _begins_job(first)
            ):
                yield folder, end.head


def _begins_job(first: Event) -> bool:
    """Return whether it begins a job, and no practice that was copied among the jobs."""
    return isinstance(first.data, Opened) and first.data.practice is None


def _enrol(ledger: Ledger, jobs: Path, when: datetime, but: Path | None = None) -> None:
    """Enter the jobs that ended before there was a ledger, all but the one in the folder `but`."""
    for folder, head in _ended(jobs):
        if folder != but and has_record(folder, head):
            try:
                by, ended = _standing(folder)
            except StoreTrouble:
                continue
            ledger.append(Enrolled(**ended.model_dump()), by, when)


def _standing(folder: Path) -> tuple[str, Ended]:
    """Return who wrote last in the ended job in `folder`, and what an entry says of it.

    The journal is read without its rules: whoever enters a job has just decided on it, and an
    audit checks it in full.

    Raises:
        StoreTrouble: A file cannot be read, or the journal is that of no ended job.
    """
    path = folder / journal.NAME
    content = read_bytes(path)
    try:
        events = [json.loads(line) for line in content[: content.rfind(b"\n")].split(b"\n")]
        named = [each["data"] for each in events if each["kind"] in ("opened", "revised")]
        [status] = {each["kind"] for each in events if each["kind"] in ("closed", "abandoned")}
        return str(events[-1]["by"]), Ended(
            job=folder.name,
            procedure=named[0]["procedure"],
            revision=named[-1]["revision"],
            status=status,
            events=events[-1]["seq"],
            head=events[-1]["hash"],
            record=_record_hash(folder),
        )
    except (ValueError, KeyError, TypeError, IndexError, RecursionError):
        raise StoreTrouble(f"{path} is not the journal of an ended job.") from None


def _record_hash(folder: Path) -> str | None:
    """Return the SHA-256 of the record in `folder`, in hex; None where there is none."""
    try:
        return hashlib.sha256((folder / RECORD).read_bytes()).hexdigest()
    except OSError:
        return None
