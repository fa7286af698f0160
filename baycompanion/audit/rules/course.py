"""How a job went its way: a clock set back, paper, days without a word, nobody who looked since."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.hands_kinds import ClockBack, Paused
from baycompanion.job.events.kinds import Answered, Closed, Ticked
from baycompanion.job.events.moment import whole_milliseconds
from baycompanion.job.state.second_looks import released_for_now
from baycompanion.text.duration import write_duration

CLOCK_BACK = Rule("clock-set-back", "serious")
ON_PAPER = Rule("done-on-paper", "minor")
LEFT_OPEN = Rule("left-open-for-days", "minor")
PROVISIONAL = Rule("nobody-looked-since", "serious")

LEAST_BACK = 60
"""Seconds; a clock that a network sets right is moved by less. Own choice."""

OPEN_FOR = timedelta(days=3)
"""How long a job may stand without a word: a weekend, and a day. Own choice."""


def clock_back(job: Played) -> Iterator[Finding]:
    """Yield by how much the clock was set back while `job` was in hand."""
    back = [
        (event.seq, data.seconds)
        for event, data in job.all_of(ClockBack)
        if data.seconds >= LEAST_BACK
    ]
    if back:
        most = write_duration(max(seconds for _, seconds in back))
        often = "once" if len(back) == 1 else f"{len(back)} times"
        yield Finding(
            CLOCK_BACK,
            f"The clock was set back {often} during the job, by up to {most} (told from "
            f"{write_duration(LEAST_BACK)} on). Times around it are not sure. Who set it, and why?",
            job.name,
            events=tuple(seq for seq, _ in back),
        )


def on_paper(job: Played) -> Iterator[Finding]:
    """Yield what in `job` was copied from the paper form."""
    answers = (event.seq for event, data in job.all_of(Answered) if data.on_paper)
    lines = (event.seq for event, data in job.all_of(Ticked) if data.on_paper)
    copied = sorted((*answers, *lines))
    if copied:
        entries = f"{len(copied)} entr{'y was' if len(copied) == 1 else 'ies were'}"
        yield Finding(
            ON_PAPER,
            f"{entries} copied from the paper form, with the times that it says. What kept the "
            "program from being used, and is the form kept with the job?",
            job.name,
            events=tuple(copied),
        )


def stood_open(job: Played) -> Iterator[Finding]:
    """Yield where `job` stood for days without a word and went on.

    A pause gave its reason and what was loose, so it is only asked about while it lasts.
    """
    for before, after in pairwise(job.events):
        if isinstance(before.data, Closed):
            return
        lasted = after.milliseconds - before.milliseconds
        if lasted >= OPEN_FOR // timedelta(milliseconds=1) and not isinstance(before.data, Paused):
            yield _stood(job.name, lasted, "stood", (before.seq, after.seq))


@dataclass(frozen=True, slots=True)
class LastWord:
    """The last event of a job that is under way, which may have been long ago."""

    job: str
    event: int
    milliseconds: int
    """Since 1970, UTC."""


def last_word(job: Played) -> LastWord | None:
    """Return the last event of `job` if it is under way or paused."""
    newest = job.events[-1]
    stands = job.state.status in ("open", "paused")
    return LastWord(job.name, newest.seq, newest.milliseconds) if stands else None


def left_open(last: LastWord, now: datetime) -> Iterator[Finding]:
    """Yield that a job, which is under way, stands for days without a word."""
    since = whole_milliseconds(now) - last.milliseconds
    if since >= OPEN_FOR // timedelta(milliseconds=1):
        yield _stood(last.job, since, "has stood", (last.event,))


def _stood(job: str, milliseconds: int, how: str, events: tuple[int, ...]) -> Finding:
    lasted = write_duration(milliseconds // 3_600_000 * 3600)
    return Finding(
        LEFT_OPEN,
        f"The job {how} open for {lasted} without a word (told from "
        f"{write_duration(int(OPEN_FOR.total_seconds()))} on). Where was the vehicle, and what was "
        "loose?",
        job,
        events=events,
    )


def nobody_looked(job: Played) -> Iterator[Finding]:
    """Yield what was released without a second person and nobody has looked at since the close."""
    waiting = released_for_now(job.procedure, job.state) if job.closed else ()
    if waiting:
        named = ", ".join(step.id for step in waiting)
        yield Finding(
            PROVISIONAL,
            f"Released for now without a second person, and nobody has looked since: {named}. Who "
            "can look now, and where is the vehicle?",
            job.name,
            events=tuple(job.state.track(step.id).attempts[-1].seq for step in waiting),
        )
