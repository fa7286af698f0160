"""A job on the disk: opened, walked on, and looked at as a stranger would."""

import json
from datetime import datetime, timedelta
from pathlib import Path

from bay import GOOD, LISTS, LONG_STEPS, S1, T1, Bay

from baycompanion.job.actions import Accept, Action
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.events.chain import canonical
from baycompanion.job.events.event import Event
from baycompanion.job.events.moment import read_moment
from baycompanion.job.state.state import State
from baycompanion.store.job.journal import NAME, read_journal
from baycompanion.store.job.open_job import OpenJob


def last_moment(folder: Path) -> datetime:
    """Return when the newest whole event of a journal was written."""
    return read_moment(read_journal(folder / NAME).events[-1].at)


def open_up(folder: Path, who: Person = T1, after: float = 1) -> OpenJob:
    """Open a job `after` seconds later than its newest event."""
    return OpenJob(folder, LISTS, who, last_moment(folder) + timedelta(seconds=after))


def act(job: OpenJob, *actions: Action, who: Person = T1) -> State:
    """Carry out `actions`, a minute each, none of which may be refused."""
    for action in actions:
        when = read_moment(job.state.last_at) + timedelta(minutes=1)
        result = job.act(action, who, when)
        assert not isinstance(result, Refused), f"{action!r} was refused: {result}"
    return job.state


def walk(job: OpenJob, to: str | None = None) -> OpenJob:
    """Walk on well until the step `to` is in hand, or to the end."""
    if job.state.accepted_at is None:
        act(job, Accept(accept="hazards"))
    while (step := job.state.current) is not None and step != to:
        *first, last = GOOD[step]
        act(job, *first)
        later = read_moment(job.state.last_at) + LONG_STEPS.get(step, timedelta(minutes=1))
        assert isinstance(job.act(last, S1 if step == "second-look" else T1, later), State)
    assert job.state.current == to
    return job


def bay_of(folder: Path) -> Bay:
    """Return the job in `folder` in memory, to act on faster than on the disk."""
    events = list(read_journal(folder / NAME).events)
    return Bay(events=events, now=read_moment(events[-1].at))


def write_events(folder: Path, events: list[Event]) -> bytes:
    """Put `events` in the journal in place of what it holds; return its bytes."""
    content = b"".join(canonical(event.as_dict()) + b"\n" for event in events)
    (folder / NAME).write_bytes(content)
    return content


def walked_on_disk(folder: Path, to: str | None) -> bytes:
    """Walk the job in `folder` in memory and write it down; return the bytes of its journal."""
    return write_events(folder, bay_of(folder).walk(to).events)


def kinds(folder: Path) -> list[str]:
    """Return the kinds of all lines of a journal, read without any code under test."""
    lines = (folder / NAME).read_bytes().split(b"\n")
    assert lines.pop() == b"", "the last line is not whole"
    return [json.loads(line)["kind"] for line in lines]
