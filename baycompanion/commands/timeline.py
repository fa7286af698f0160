"""`timeline`: what the hours of a job went to, and what happened when."""

import shutil
import sys
import textwrap
from datetime import datetime

from baycompanion.commands.opening import found_shop
from baycompanion.exits import Exit
from baycompanion.job.events.moment import read_moment
from baycompanion.job.timeline.marks import make_timeline
from baycompanion.job.timeline.values import Timeline
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.store.job.finding import find_job
from baycompanion.store.job.folder import JobRead, read_job_as_far
from baycompanion.views.card.place import where
from baycompanion.views.timeline.lines import drawn_lines, mark_lines, told_lines

LEAST, MOST = 60, 160
"""Columns of a drawing: in a narrower terminal its lines break, in a wider one it ends before."""


def tell_timeline(chosen: Chosen, name: str, now: datetime) -> int:
    """Print the timeline of the job called `name`, by the clock on the wall in the zone of `now`.

    Of a job whose journal was damaged, what comes before the damage is told, and where it lies.

    Raises:
        StoreTrouble: No job is called so, or nothing of it can be read.
        BadFile: The pinned procedure cannot be read any more.
    """
    shop = found_shop(chosen)
    job, trouble = read_job_as_far(find_job(shop.jobs, name))
    timeline = make_timeline(job.procedure, job.events)
    data(where(job.procedure, job.state))
    if sys.stdout.isatty() and not chosen.by_lines:
        _draw(job, timeline, now)
    else:
        _tell(job, timeline, now)
    if job.state.ended_at is None:
        talk(f"{job.state.opened.job} is not ended here: this goes as far as its newest event.")
    if job.torn:
        talk("The last line of its journal is torn, and is not on the timeline.")
    if trouble is not None:
        talk(f"{trouble} Told is what comes before that line.")
    return Exit.DONE if trouble is None else Exit.TROUBLE


def _draw(job: JobRead, timeline: Timeline, now: datetime) -> None:
    """Print the drawing for the terminal, and the list below it in lines that fit."""
    width = min(max(shutil.get_terminal_size().columns, LEAST), MOST)
    for line in drawn_lines(job.procedure, timeline, width, now.tzinfo):
        data("\n".join(_fitted(line, width)) if len(line) > width else line)
    data("")
    for sign, line, more in mark_lines(job.procedure, timeline, now.tzinfo):
        data("\n".join(_fitted(f"{sign:<2} {line}", width, "   ")))
        for words in more:
            data("\n".join(_fitted(f"     {words}", width, "       ")))


def _tell(job: JobRead, timeline: Timeline, now: datetime) -> None:
    """Print the phases and the list, one thing a line."""
    data(f"Times of day are those of {_zones(job, now)}.")
    for line in told_lines(job.procedure, timeline, now.tzinfo):
        data(line)


def _zones(job: JobRead, now: datetime) -> str:
    """Return how far the clock on the wall is from UTC, and since when it is so otherwise."""
    told: list[str] = []
    for event in job.events:
        at = read_moment(event.at).astimezone(now.tzinfo)
        zone = f"UTC{at.isoformat()[-6:]}"  # like UTC+01:00
        if not told:
            told.append(zone)
        elif not told[-1].endswith(zone):
            told.append(f"from {at:%Y-%m-%d %H:%M} on those of {zone}")
    return ", ".join(told)


def _fitted(line: str, width: int, indent: str = "") -> list[str]:
    return textwrap.wrap(
        line,
        width,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
        drop_whitespace=True,
    )
