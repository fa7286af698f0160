"""The audit of one shop folder: its ledger, then its jobs one by one, each forgotten after it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from baycompanion.audit import integrity
from baycompanion.audit.chain_break import first_break
from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.gate_counts import GateCount
from baycompanion.audit.index import Index
from baycompanion.audit.job_read import ChangedProcedure, pinned, read_journal
from baycompanion.audit.job_rules import JobAudited, audit_broken, audit_job
from baycompanion.audit.played import Played
from baycompanion.audit.questions import Questions
from baycompanion.audit.rows import JobRows, rows_of
from baycompanion.audit.seal_integrity import Seals
from baycompanion.job.event import Event
from baycompanion.job.fold import fold_all
from baycompanion.job.state import State
from baycompanion.store import journal, ledger
from baycompanion.store.job_folder import RECORD
from baycompanion.store.ledger_entry import Enrolled, Entry
from baycompanion.store.staff import NAME as STAFF
from baycompanion.store.staff import Member, read_staff
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.text.clean import clean
from baycompanion.text.problem import BadFile

JOBS = "jobs"

Found = Finding | StoreTrouble
"""What an audit yields: a finding, or what cannot be read, which is named and passed over."""


@dataclass(frozen=True, slots=True)
class ShopSeen:
    """What an audit has gone through, told after its findings."""

    shop: str
    jobs: int
    """Jobs that were looked at."""
    seal: str = ""
    """How far the newest good seal of its ledger reaches, in words; nothing without one."""
    gates: tuple[GateCount, ...] = ()
    """How each gate fared that these jobs came to."""


def audit_shop(
    folder: Path,
    choice: Choice,
    now: datetime | None = None,
    keep: Callable[[JobRows], None] | None = None,
) -> Iterator[Found | ShopSeen]:
    """Yield what an audit of the shop in `folder` finds, job by job, and last what it has seen.

    Args:
        folder: The shop folder.
        choice: The jobs that are looked at.
        now: What a job under way is held against; without it, none is too old.
        keep: Called with the rows of each job whose chain holds. What it raises ends the audit.
    """
    audit = _ShopAudit(folder, choice, now, keep)
    for found in audit.walk():
        yield replace(found, shop=str(folder)) if isinstance(found, Finding) else found
    yield ShopSeen(str(folder), audit.jobs, audit.seals.newest, audit.questions.gates)


class _ShopAudit:
    """One walk through a shop folder, and what has to be counted on the way."""

    def __init__(
        self,
        folder: Path,
        choice: Choice,
        now: datetime | None,
        keep: Callable[[JobRows], None] | None,
    ) -> None:
        self._folder = folder
        self._keep = keep
        self._rows: JobRows | None = None
        """Those of the job in hand, until they are kept."""
        self._choice = choice
        self._has_ledger: bool | None = (folder / ledger.NAME).exists()
        """None where there is one that cannot be read."""
        self._odd_names: list[StoreTrouble] = []
        self._ended_without = 0
        """Ended jobs of a shop that has no ledger."""
        self._enrolled: dict[str, tuple[int, int, int]] = {}
        """By day: how many jobs were enrolled, the first entry and the last."""
        self.jobs = 0
        self.seals = Seals(folder)
        self._now = now
        self.questions = Questions(now=now)

    def walk(self) -> Iterator[Found]:
        """Yield all that is found."""
        with Index() as index:
            try:
                index.add_folders(self._names())
            except StoreTrouble as trouble:
                yield trouble
                return
            yield from self._odd_names
            yield from self._staff()
            yield from self._ledger(index)
            for name in index.folders():
                yield from self._job(name, tuple(index.entries_of(name)))
                self._keep_rows()
            for name in index.without_folder():
                yield from self._gone(name, index.entries_of(name))
        yield from self._counted()

    def _staff(self) -> Iterator[StoreTrouble]:
        """Take in who is on the staff, and yield why the file cannot be read."""
        path = self._folder / STAFF
        try:
            members: Mapping[str, Member] | None = read_staff(path) if path.exists() else None
        except StoreTrouble as trouble:
            yield trouble
        except BadFile as bad:
            yield StoreTrouble(str(bad).splitlines()[0])
        else:
            self.questions = Questions(members, self._now)

    def _names(self) -> Iterator[str]:
        """Yield the names of the folders of jobs.

        Raises:
            StoreTrouble: There is no such folder, or it cannot be read.
        """
        jobs = self._folder / JOBS
        try:
            for path in jobs.iterdir():
                if not path.is_dir():
                    continue
                if clean(path.name) == path.name:
                    yield path.name
                else:
                    told = f"{path} is passed over for the signs in its name. Rename it."
                    self._odd_names.append(StoreTrouble(told))
        except FileNotFoundError:
            raise StoreTrouble(f"{self._folder} is no shop folder: it has no {JOBS}.") from None
        except OSError as error:
            raise StoreTrouble(f"{jobs} cannot be read: {because(error)}.") from None

    def _ledger(self, index: Index) -> Iterator[Found]:
        """Yield what is wrong with the ledger by itself, and take its entries in."""
        path = self._folder / ledger.NAME
        try:
            yield from self._chain(path)
            index.add_entries(ledger.read_readable(path))
        except StoreTrouble as trouble:
            yield trouble
            self._has_ledger = None
            return
        try:
            yield from self.seals.audit(ledger.read_readable(path))
        except StoreTrouble as trouble:
            yield trouble

    def _chain(self, path: Path) -> Iterator[Finding]:
        """Yield where the chain of the ledger breaks, and whether its end is torn.

        Raises:
            StoreTrouble: It cannot be read.
        """
        broken = first_break(line.removesuffix(b"\n") for line in _whole(path))
        if broken is not None:
            yield integrity.broken_ledger(broken)
        torn = sum(len(line) for line in ledger.ledger_lines(path) if not line.endswith(b"\n"))
        if torn:
            yield integrity.torn_ledger(torn)

    def _job(self, name: str, entries: tuple[Entry, ...]) -> Iterator[Found]:
        """Yield what is found in one job; whatever happens in it, the next is looked at too."""
        folder = self._folder / JOBS / name
        if not (folder / journal.NAME).exists():
            if entries or (folder / RECORD).exists():
                yield integrity.journal_gone(name, entries)
            return
        try:
            yield from self._journal(folder, entries)
        except StoreTrouble as trouble:
            yield trouble
        except Exception as error:  # events forged so that they do not fold
            yield StoreTrouble(f"{folder} cannot be audited: {type(error).__name__}.")

    def _journal(self, folder: Path, entries: tuple[Entry, ...]) -> Iterator[Found]:
        read = read_journal(folder)
        if read.events and not self._choice.takes(read.events):
            return
        self.jobs += 1
        self._count_enrolled(entries)
        if read.torn:
            yield integrity.torn_journal(folder.name, read.torn)
        if read.broken is not None:
            yield integrity.broken_journal(folder.name, read.broken)
            yield from audit_broken(folder, entries)
            return
        state = fold_all(read.events)
        if self._has_ledger is False and state.status in ("closed", "abandoned"):
            self._ended_without += 1
        yield from audit_job(
            JobAudited(folder, read.events, state, entries, bool(self._has_ledger))
        )
        yield from self._questions(folder, read.events, state)

    def _questions(
        self, folder: Path, events: tuple[Event, ...], state: State
    ) -> Iterator[Finding]:
        """Yield what is asked about the work; where its procedure is unread, that is told."""
        try:
            procedure = pinned(folder, state)
        except (ChangedProcedure, StoreTrouble, BadFile):
            return
        job = Played(folder.name, procedure, events, state)
        yield from self.questions.take(job)
        if self._keep is not None:
            self._rows = rows_of(job)

    def _keep_rows(self) -> None:
        """Hand on the rows of the job that was read, outside of what passes over its trouble."""
        if self._keep is not None and self._rows is not None:
            self._keep(self._rows)
        self._rows = None

    def _gone(self, name: str, entries: list[Entry]) -> Iterator[Found]:
        if any(map(self._choice.takes_entry, entries)):
            yield integrity.job_gone(name, entries)

    def _count_enrolled(self, entries: tuple[Entry, ...]) -> None:
        for entry in entries:
            if isinstance(entry.data, Enrolled):
                day = entry.at[:10]
                count, first, last = self._enrolled.get(day, (0, entry.seq, entry.seq))
                seqs = (first, last, entry.seq)
                self._enrolled[day] = (count + 1, min(seqs), max(seqs))

    def _counted(self) -> Iterator[Finding]:
        """Yield what concerns many jobs at once, in one finding instead of many."""
        for day, (count, first, last) in sorted(self._enrolled.items()):
            yield integrity.enrolled(day, count, first, last)
        if self._ended_without:
            yield integrity.ledger_gone(self._ended_without)
        yield from self.questions.of_all()


def _whole(path: Path) -> Iterator[bytes]:
    """Yield the whole lines of a ledger."""
    yield from (line for line in ledger.ledger_lines(path) if line.endswith(b"\n"))
