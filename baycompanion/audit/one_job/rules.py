"""All rules that look at one job, asked one after another; a new rule is hooked in here."""

from collections.abc import Iterator
from dataclasses import dataclass

from baycompanion.audit.chains import integrity, record_integrity
from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job import folder
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.job.events.event import Event
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.store.ledger.entry import Entry
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile


@dataclass(frozen=True, slots=True)
class JobAudited:
    """A job whose chain holds, as the rules look at it."""

    files: JobFiles
    events: tuple[Event, ...]
    state: State
    entries: tuple[Entry, ...]
    """What the ledger says of it, the oldest first."""
    has_ledger: bool
    """Whether the shop has a ledger at all."""

    @property
    def name(self) -> str:
        """The name of its folder."""
        return self.files.folder.name


Pinned = Procedure | Finding | StoreTrouble
"""The procedure that a job follows, or why nobody can say which it is."""


def pinned(files: JobFiles, state: State) -> Pinned:
    """Return the procedure that the job of `files` follows in `state`, or what is wrong with it."""
    try:
        return folder.pinned(files, state)
    except folder.ChangedProcedure as changed:
        return integrity.changed_procedure(files.folder.name, str(changed))
    except StoreTrouble as trouble:
        return trouble
    except BadFile as bad:
        return StoreTrouble(str(bad).splitlines()[0])


def audit_job(job: JobAudited, procedure: Pinned) -> Iterator[Finding | StoreTrouble]:
    """Yield what every rule finds in `job`, and why a file of it cannot be read."""
    yield from _events_and_ledger(job)
    yield from _photos(job)
    try:
        content = folder.read_record(job.files)
    except StoreTrouble as trouble:
        yield trouble
    else:
        yield from _record(job, procedure, content)


def audit_practice(job: JobAudited) -> Iterator[Finding]:
    """Yield that `job` is practice, and what the ledger says of a job in its place."""
    yield integrity.practice_among_jobs(job.name, job.state.opened_by)
    if job.entries:
        events = folder.job_events(job.name, job.events, job.state)
        yield from integrity.against_entries(events, job.entries)


def audit_broken(files: JobFiles, entries: tuple[Entry, ...]) -> Iterator[Finding]:
    """Yield what can still be said of a job whose chain is broken: of its record and its entry.

    Raises:
        StoreTrouble: The record cannot be read.
    """
    content, name = folder.read_record(files), files.folder.name
    if content is None and entries:
        yield record_integrity.record_gone(name, entries)
    elif content is not None and entries:
        yield from record_integrity.record_against_entry(name, content, entries[-1], False)


def _events_and_ledger(job: JobAudited) -> Iterator[Finding]:
    events = folder.job_events(job.name, job.events, job.state)
    if job.state.opened.job != job.name:
        yield integrity.renamed(job.name, job.state.opened.job)
    yield from integrity.against_entries(events, job.entries)
    if events.ended and not job.entries and job.has_ledger:
        yield integrity.not_entered(events)


def _photos(job: JobAudited) -> Iterator[Finding | StoreTrouble]:
    """Yield which photos are not the ones that were copied into the job."""
    for photo in job.state.photos:
        try:
            standing = folder.photo_standing(job.files, photo.data.file, photo.data.sha256)
        except StoreTrouble as trouble:
            yield trouble
        else:
            if standing != "whole":
                yield integrity.photo(job.name, photo.data.file, photo.seq, standing)


def _record(
    job: JobAudited, procedure: Pinned, content: bytes | None
) -> Iterator[Finding | StoreTrouble]:
    """Yield what is wrong with `content`, what is in record.json, or why nobody can say."""
    ended = job.state.status in ("closed", "abandoned")
    if not isinstance(procedure, Procedure):
        if content is not None and folder.events_in_record(content, job.events) is None:
            yield record_integrity.no_fold(job.name, content)
        yield procedure
        return
    if content is None:
        if ended:
            yield record_integrity.record_gone(job.name, job.entries)
        return
    made = folder.record_afresh(procedure, job.events, job.state)
    differs = [] if content == made else list(_differs(job, content, made, ended))
    yield from differs
    if job.entries:
        grave = any(isinstance(each, Finding) and each.rule.weight == "grave" for each in differs)
        newest = job.entries[-1]
        yield from record_integrity.record_against_entry(job.name, content, newest, not grave)


def _differs(
    job: JobAudited, content: bytes, made: bytes, ended: bool
) -> Iterator[Finding | StoreTrouble]:
    """Yield where the record `content` is not the one `made` from all events of `job`.

    It may have been made from the first of them, and is then compared with what those give.
    """
    count = folder.events_in_record(content, job.events)
    if count is None:
        yield record_integrity.no_fold(job.name, content)
        return
    if count < len(job.events):
        first = job.events[:count]
        state = fold_all(first)
        procedure = pinned(job.files, state)
        if not isinstance(procedure, Procedure):
            yield procedure
            return
        made = folder.record_afresh(procedure, first, state)
    vouched: bool | None = True
    if ended:
        newest = job.entries[-1] if job.entries else None
        vouched = record_integrity.is_as_entered(content, newest) if newest else None
    missed = tuple(event.seq for event in job.events[count:]) if ended else ()
    yield from record_integrity.against_fold(job.name, content, made, missed, vouched)
