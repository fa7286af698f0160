"""Trainees who worked alone, and releases in the staff file, held against the log of the staff."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.played import Played
from baycompanion.job.deciding.releases import Release
from baycompanion.job.events.event import Event
from baycompanion.job.events.hands_kinds import HandedOver
from baycompanion.job.events.kinds import Answered, Opened, Overridden, Ticked
from baycompanion.learning.watched import Worked, most_work, worked
from baycompanion.store.staff.releases import why_not_watched
from baycompanion.store.staff.staff import Member
from baycompanion.store.staff.staff_log import SignedOff, TakenBack

NO_MENTOR = Rule("trainee-without-mentor", "serious", people=True)
AFTER = Rule("worked-after-release", "serious", people=True)
NOT_IN_LOG = Rule("release-not-in-log", "serious", people=True)
NOT_WATCHED = Rule("release-not-watched", "serious", people=True)

GRACE = timedelta(days=1)
"""A release ends with its day where the shop lies, and journals are in UTC: so much later it is
over everywhere."""


@dataclass(frozen=True, slots=True)
class Alone:
    """What a trainee did with nobody beside them, from the keys on or until they passed it on."""

    who: str
    procedure: str
    revision: int
    """The one that they took the keys for."""
    taken: int
    taken_at: str
    last: int
    """The event of their newest answer, the keys where there is none."""
    last_at: str


def alone(job: Played) -> Alone | None:
    """Return what a trainee did alone in `job`; None where somebody stood beside, or none had to.

    Only who took the keys is looked at: of a hand-over the journal does not say what the taker was.
    """
    first = job.events[0]
    opened = first.data
    if not isinstance(opened, Opened) or opened.role != "trainee" or opened.mentor is not None:
        return None
    last = first
    for event in job.events:
        if isinstance(event.data, HandedOver):
            break
        if event.by == first.by and isinstance(event.data, Answered | Ticked | Overridden):
            last = event
    return Alone(
        who=first.by,
        procedure=opened.procedure,
        revision=opened.revision,
        taken=first.seq,
        taken_at=first.at,
        last=last.seq,
        last_at=last.at,
    )


def whose_work(job: Played) -> Worked | None:
    """Return what `job` tells of whoever gave most answers in it; None where nobody gave any."""
    who = most_work(job.procedure, job.events)
    return None if who is None else worked(job.procedure, job.state, job.events, who)


class Releases:
    """The releases of one shop, by its staff file as it is now and by the log since when."""

    def __init__(
        self,
        members: Mapping[str, Member] | None = None,
        log: Sequence[Event] = (),
        jobs: Collection[str] = (),
    ) -> None:
        """Hold releases against `log`, the staff log; `jobs` are the names of all job folders."""
        self._log = [event for event in log if isinstance(event.data, SignedOff | TakenBack)]
        self._jobs = jobs
        self._given = [
            (member.id, release)
            for member in (members or {}).values()
            if member.active
            for release in member.releases
        ]
        self._named = {release.job for _, release in self._given}
        self._seen: dict[str, Worked | None] = {}
        """What the jobs that releases name tell, as far as they were read."""

    def take(self, job: str, by_alone: Alone | None, work: Worked | None) -> Iterator[Finding]:
        """Yield what is asked of a job in which a trainee worked alone, and keep what is named."""
        if job in self._named:
            self._seen[job] = work
        if by_alone is None:
            return
        who = by_alone.who
        why_not = self._why_not(by_alone, by_alone.taken_at)
        if why_not:
            told = (
                f"{who}, a trainee then, took the keys, and nobody is named who stood beside them. "
                f"{why_not} Who looked at this work?"
            )
            yield Finding(NO_MENTOR, told, job, events=(by_alone.taken,), about=who)
            return
        over = self._why_not(by_alone, by_alone.last_at)
        if over:
            told = (
                f"{who}, a trainee then, took the keys alone while a release was in force, and "
                f"went on after it on {by_alone.last_at[:10]}. {over} Who looked at this work?"
            )
            events = (by_alone.taken, by_alone.last)
            yield Finding(AFTER, told, job, events=events, about=who)

    def findings(self) -> Iterator[Finding]:
        """Yield what is asked of the releases in the staff file, once all jobs have been read."""
        for who, release in self._given:
            about = f"{who} by {release.procedure}"
            if not self._is_logged(who, release):
                told = (
                    f"staff.yaml gives {who} a release for {release.procedure} revision "
                    f"{release.revision} until {release.until}, and the staff log does not say so. "
                    "Who wrote it, and did somebody watch? baycompanion staff sign-off writes both."
                )
                yield Finding(NOT_IN_LOG, told, about=about)
            if why := self._why_not_watched(who, release):
                told = (
                    f"{release.by} released {who} for {release.procedure} revision "
                    f"{release.revision}, watched in {release.job}. {why} What was watched?"
                )
                job = release.job if release.job in self._jobs else ""
                yield Finding(NOT_WATCHED, told, job, about=about)

    def _newest(self, who: str, procedure: str, at: str | None = None) -> Event | None:
        """Return the newest line about that release, as of the moment `at` where it is named."""
        lines = (
            event
            for event in self._log
            if isinstance(event.data, SignedOff | TakenBack)
            and (event.data.who, event.data.procedure) == (who, procedure)
            and (at is None or event.at <= at)
        )
        return max(lines, key=lambda event: event.seq, default=None)

    def _why_not(self, job: Alone, at: str) -> str:
        """Return why no release was in force at that moment, by the log; empty where one was."""
        newest = self._newest(job.who, job.procedure, at)
        if newest is None:
            return "By the staff log there was no release for it."
        data = newest.data
        if isinstance(data, TakenBack):
            return f"By the staff log their release was taken back on {newest.at[:10]}."
        assert isinstance(data, SignedOff)
        if data.revision != job.revision:
            return (
                f"By the staff log their release was for revision {data.revision}, and this job "
                f"began by revision {job.revision}."
            )
        if date.fromisoformat(at[:10]) > date.fromisoformat(data.until) + GRACE:
            return f"By the staff log their release had its last day on {data.until}."
        return ""

    def _is_logged(self, who: str, release: Release) -> bool:
        newest = self._newest(who, release.procedure)
        if newest is None or not isinstance(newest.data, SignedOff):
            return False
        data = newest.data
        said = (data.revision, data.job, data.until, newest.by)
        return said == (release.revision, release.job, release.until.isoformat(), release.by)

    def _why_not_watched(self, who: str, release: Release) -> str:
        if release.job not in self._jobs:
            return "There is no such job in this shop."
        if release.job not in self._seen:  # this audit is narrowed, or the job cannot be read
            return ""
        work = self._seen[release.job]
        if work is None:
            return "Nobody answered anything in it."
        if work.who != who and work.procedure == release.procedure:
            return f"Most of that work was {work.who}'s."
        return why_not_watched(work, who, release.procedure, release.revision)
