"""Steps answered one after the other at equal distances in time, as work hardly ever goes."""

from collections.abc import Iterator
from itertools import pairwise

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.haste import BURST_GAP, seconds_said, was_done
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Answered

EQUAL = Rule("answers-evenly-spaced", "minor")

GAPS = 8
"""So many gaps in a row, between nine answers, that are nearly equal are told."""

TOLERANCE = 1.1
"""How many times the shortest of them the longest may be.

Both are our own choice. Honest steps differ: with gaps spread by a third around their middle
(lognormal, 0.3), a job of forty steps has such a row once in some 20,000, with twice that spread
once in some millions. Simulated in `tests/audit/test_pacing.py`. It is no test with a chance of
its own, so nothing is corrected: the row has to be looked at.
"""


def evenly_spaced(job: Played) -> Iterator[Finding]:
    """Yield each row of answers of `job` whose gaps are nearly equal, as long as it is.

    What was copied from paper, entered late or not done is passed over. Gaps of a burst are left
    to that rule (`haste.bursts`).
    """
    row: list[Event] = []
    for event, data in job.all_of(Answered):
        if not was_done(data):
            continue
        grown = [*row, event]
        if not is_even(_gaps(grown)):
            yield from _told(job, row)
            while not is_even(_gaps(grown)):
                grown = grown[1:]
        row = grown
    yield from _told(job, row)


def is_even(gaps: list[int]) -> bool:
    """Return whether gaps, in milliseconds, are nearly equal, and none is that of a burst."""
    return not gaps or (min(gaps) > BURST_GAP * 1000 and max(gaps) <= TOLERANCE * min(gaps))


def _gaps(row: list[Event]) -> list[int]:
    return [after.milliseconds - before.milliseconds for before, after in pairwise(row)]


def _told(job: Played, row: list[Event]) -> Iterator[Finding]:
    gaps = _gaps(row)
    if len(gaps) < GAPS:
        return
    yield Finding(
        EQUAL,
        f"{len(row)} steps were answered at nearly equal distances, {seconds_said(min(gaps))} to "
        f"{seconds_said(max(gaps))} ({GAPS} or more gaps in a row are told, of which the longest "
        f"is at most {TOLERANCE} times the shortest; honest work of forty steps shows that in "
        "fewer than 1 of 10,000 jobs). Were they answered afterwards, one after the other?",
        job.name,
        events=tuple(event.seq for event in row),
    )
