"""A walk through one shop folder: its ledger, then its jobs one by one, each forgotten after it."""

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing
from pathlib import Path

from baycompanion.audit.chains import integrity
from baycompanion.audit.chains.chain_break import Break, first_break
from baycompanion.audit.chains.seal_integrity import Seals
from baycompanion.audit.chains.staff_log_integrity import audit_staff_log
from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job.facts import JobFacts
from baycompanion.audit.reading.all_jobs import AllJobs
from baycompanion.audit.reading.ledger_join import LedgerJoin
from baycompanion.audit.rules.course import LastWord
from baycompanion.audit.rules.questions import Questions
from baycompanion.audit.rules.release_rules import Releases
from baycompanion.audit.rules.work_facts import WorkFacts
from baycompanion.job.events.event import Event
from baycompanion.store.chained_log import read_line
from baycompanion.store.ledger import ledger
from baycompanion.store.ledger.entry import Entry, Sealed
from baycompanion.store.review import KINDS, Review, read_review, review_lines
from baycompanion.store.shop_place import why_no_shop
from baycompanion.store.staff.staff import NAME as STAFF
from baycompanion.store.staff.staff import Member, read_staff
from baycompanion.store.staff.staff_log import NAME as STAFF_LOG
from baycompanion.store.staff.staff_log import readable_lines
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.text.clean import clean_sentence
from baycompanion.text.problem import BadFile

JOBS = "jobs"

Found = Finding | StoreTrouble
"""What an audit yields: a finding, or what cannot be read, which is named and passed over."""

Passed = Found | LastWord
"""What a walk through a shop passes: what is found, and the last word of each job under way."""


class Walk:
    """One walk through a shop folder, and what has to be counted on the way."""

    def __init__(
        self,
        folder: Path,
        choice: Choice,
        day: str,
        all_jobs: AllJobs,
        go_on: Callable[[int], bool],
        keep: Callable[[WorkFacts], None] | None,
    ) -> None:
        """Walk through the shop in `folder` on `day`, the rest as `audit_shop` takes it."""
        self._folder = folder
        self._keep = keep
        self._choice = choice
        self._has_ledger: bool | None = os.path.lexists(folder / ledger.NAME)
        """None where there is one that cannot be read."""
        self._odd_names: list[StoreTrouble] = []
        self._ended_without = 0
        """Ended jobs of a shop that has no ledger."""
        self._enrolled: dict[str, tuple[int, int, int]] = {}
        """By day: how many jobs were enrolled, the first entry and the last."""
        self.jobs = 0
        """Jobs that were looked at."""
        self.whole = False
        """Whether it has come to its end."""
        self._all_jobs = all_jobs
        self.seals = Seals(folder)
        self._day = day
        self._go_on = go_on
        self.review = Review()
        """What was said of findings and gates."""
        self.questions = Questions(day=day)

    def passed(self) -> Iterator[Passed]:
        """Yield all that the walk passes."""
        with closing(LedgerJoin()) as join:
            try:
                join.add_folders(self._names())
            except StoreTrouble as trouble:
                yield trouble
                return
            yield from self._odd_names
            yield from self._reviewed()
            yield from self._staff()
            yield from audit_staff_log(self._folder)
            yield from self._ledger(join)
            for facts in self._all_jobs.facts(join, bool(self._has_ledger)):
                if not self._go_on(self.jobs):
                    return
                yield from self._job(facts)
            for name in join.without_folder():
                yield from self._gone(name, join.entries_of(name))
        yield from self._counted()
        self.whole = True

    def _staff(self) -> Iterator[StoreTrouble]:
        """Take in who is on the staff, and yield why the file cannot be read."""
        path = self._folder / STAFF
        members: Mapping[str, Member] | None = None
        try:
            members = read_staff(path) if path.exists() else None
        except StoreTrouble as trouble:
            yield trouble
        except BadFile as bad:
            yield StoreTrouble(str(bad).splitlines()[0])
        releases = Releases(members, *self._signed_off(members or {}))
        self.questions = Questions(members, self._day, self.review.decisions, releases)

    def _signed_off(self, members: Mapping[str, Member]) -> tuple[tuple[Event, ...], set[str]]:
        """Return the lines of the staff log, and the names of all job folders if one is needed.

        What cannot be read, or breaks, is told by the rules about these files.
        """
        try:
            log = readable_lines(self._folder / STAFF_LOG)
        except StoreTrouble:
            log = ()
        if not any(member.releases for member in members.values()):
            return log, set()
        try:
            return log, {path.name for path in (self._folder / JOBS).iterdir()}
        except OSError:
            return log, set()

    def _reviewed(self) -> Iterator[Found]:
        """Take in what was said of findings and gates, and yield where its chain breaks."""
        try:
            self.review = read_review(self._folder)
            lines, torn = review_lines(self._folder)
        except StoreTrouble as trouble:
            yield trouble
            return
        broken = first_break(lines)
        odd = next((n for n, line in enumerate(lines, 1) if read_line(line, KINDS) is None), None)
        if broken is not None:
            yield integrity.broken_review(broken)
        elif odd is not None:
            yield integrity.odd_review_line(odd)
        if torn:
            yield integrity.torn_review(torn)

    def _names(self) -> Iterator[str]:
        """Yield the names of the folders of jobs.

        Raises:
            StoreTrouble: There is no such folder, or it cannot be read.
        """
        jobs = self._folder / JOBS
        try:
            for entry in os.scandir(jobs):
                if not entry.is_dir():
                    continue
                if clean_sentence(entry.name) == entry.name:
                    yield entry.name
                else:
                    told = f"{entry.path} is passed over for the signs in its name. Rename it."
                    self._odd_names.append(StoreTrouble(told))
        except (FileNotFoundError, NotADirectoryError):
            raise StoreTrouble(why_no_shop(self._folder)) from None
        except OSError as error:
            raise StoreTrouble(f"{jobs} cannot be read: {because(error)}.") from None

    def _ledger(self, join: LedgerJoin) -> Iterator[Found]:
        """Yield what is wrong with the ledger by itself, and take its entries in."""
        path = self._folder / ledger.NAME
        try:
            broken = first_break(line.removesuffix(b"\n") for line in _whole(path))
            yield from self._chain(path, broken)
            join.add_entries(ledger.read_readable(path))
        except StoreTrouble as trouble:
            yield trouble
            self._has_ledger = None
            return
        try:
            sealed = ledger.read_readable(path, containing=Sealed.kind)
            yield from self.seals.audit(sealed, broken)
        except StoreTrouble as trouble:
            yield trouble

    def _chain(self, path: Path, broken: Break | None) -> Iterator[Finding]:
        """Yield that the chain of the ledger is `broken`, and whether its end is torn.

        Raises:
            StoreTrouble: It cannot be read.
        """
        if broken is not None:
            yield integrity.broken_ledger(broken)
        torn = sum(len(line) for line in ledger.ledger_lines(path) if not line.endswith(b"\n"))
        if torn:
            yield integrity.torn_ledger(torn)

    def _job(self, job: JobFacts) -> Iterator[Passed]:
        """Yield what is found in one job, if it is looked at."""
        if job.heading is not None and not self._choice.takes(job.heading):
            return
        if job.readable:
            self.jobs += 1
            self._count_enrolled(job.enrolled)
            self._ended_without += job.ended and self._has_ledger is False
        yield from job.findings
        yield from map(StoreTrouble, job.unread)
        if job.work is not None:
            yield from self.questions.take(job.work)
            if job.work.last_word is not None:
                yield job.work.last_word
            if self._keep is not None:
                self._keep(job.work)

    def _gone(self, name: str, entries: list[Entry]) -> Iterator[Found]:
        if any(map(self._choice.takes_entry, entries)):
            yield integrity.job_gone(name, entries)

    def _count_enrolled(self, entries: Iterable[tuple[str, int]]) -> None:
        for day, number in entries:
            count, first, last = self._enrolled.get(day, (0, number, number))
            seqs = (first, last, number)
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
