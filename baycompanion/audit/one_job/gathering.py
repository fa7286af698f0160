"""The facts of one job, worked out from its folder and from what the ledger says of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from baycompanion.audit.chains import integrity
from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job.facts import Heading, JobFacts
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.audit.one_job.folder import read_journal
from baycompanion.audit.one_job.rules import (
    JobAudited,
    audit_broken,
    audit_job,
    audit_practice,
    pinned,
)
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.questions import ask
from baycompanion.audit.rules.work_facts import WorkFacts
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Opened
from baycompanion.job.state.fold import fold_all
from baycompanion.procedure.model import Procedure
from baycompanion.store.job import journal
from baycompanion.store.job.folder import RECORD, refuse_link
from baycompanion.store.ledger.entry import Enrolled, Entry
from baycompanion.store.trouble import StoreTrouble, because


def facts_of(files: JobFiles, entries: Sequence[Entry], has_ledger: bool) -> JobFacts:
    """Return what the job of `files` gives to an audit; whatever is in them, it never raises.

    Args:
        files: The folder of the job.
        entries: What the ledger says of it, the oldest first.
        has_ledger: Whether the shop has a ledger at all.
    """
    facts = _Gathered()
    try:
        refuse_link(files.folder)
        if files.has(journal.NAME):
            _journal(files, tuple(entries), has_ledger, facts)
        elif entries or files.has(RECORD):
            facts.findings.append(integrity.journal_gone(files.folder.name, entries))
    except StoreTrouble as trouble:
        facts.unread.append(str(trouble))
    except OSError as error:
        why = StoreTrouble(f"{error.filename or files.folder} cannot be read: {because(error)}.")
        facts.unread.append(str(why))
    except Exception as error:  # events forged so that they do not fold
        why = StoreTrouble(f"{files.folder} cannot be audited: {type(error).__name__}.")
        facts.unread.append(str(why))
    return JobFacts(
        job=files.folder.name,
        readable=facts.readable,
        heading=facts.heading,
        ended=facts.ended,
        findings=facts.findings,
        unread=facts.unread,
        enrolled=[(each.at[:10], each.seq) for each in entries if isinstance(each.data, Enrolled)],
        work=facts.work,
    )


@dataclass(slots=True)
class _Gathered:
    """What has come together so far; it stands where a later file cannot be read."""

    readable: bool = False
    heading: Heading | None = None
    ended: bool = False
    findings: list[Finding] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    work: WorkFacts | None = None

    def take(self, found: Iterable[Finding | StoreTrouble]) -> None:
        """Take what rules find, and what they cannot read."""
        for each in found:
            if isinstance(each, Finding):
                self.findings.append(each)
            else:
                self.unread.append(str(each))


def _journal(
    files: JobFiles, entries: tuple[Entry, ...], has_ledger: bool, facts: _Gathered
) -> None:
    """Gather the facts of a job that has a journal.

    Raises:
        StoreTrouble: A file cannot be read that the rest hangs on.
    """
    read = read_journal(files)
    facts.readable = True
    if read.torn:
        facts.findings.append(integrity.torn_journal(files.folder.name, read.torn))
    if read.broken is not None:
        facts.findings.append(integrity.broken_journal(files.folder.name, read.broken))
        facts.take(audit_broken(files, entries))
        return
    state = fold_all(read.events)
    if state.opened.practice is not None:
        facts.readable = False  # no job was looked at
        facts.take(audit_practice(JobAudited(files, read.events, state, entries, has_ledger)))
        return
    facts.heading = _heading(read.events)
    facts.ended = state.status in ("closed", "abandoned")
    procedure = pinned(files, state)
    facts.take(audit_job(JobAudited(files, read.events, state, entries, has_ledger), procedure))
    if isinstance(procedure, Procedure):
        facts.work = ask(Played(files.folder.name, procedure, read.events, state))


def _heading(events: tuple[Event, ...]) -> Heading:
    opened = events[0].data
    assert isinstance(opened, Opened)
    people = sorted({event.by for event in events})
    return Heading(events[-1].at, people, opened.procedure)
