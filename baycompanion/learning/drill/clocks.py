"""When the lines of a log were written, though a clock was wrong now and then."""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime

from baycompanion.job.events.moment import moment_of

LONG_AGO = moment_of(0)
"""When something was written that no clock can be believed about."""


def believed(moments: Sequence[datetime], now: datetime) -> list[datetime]:
    """Return when each line of a log was written, its clock having been wrong now and then.

    Lines are written one after the other. The most moments that agree with this order, and do not
    lie beyond `now`, are believed; any other line counts as written with the one before it. So
    neither a day in 1970 nor one in 2040 moves the cards of the others. Where none is believed, all
    of it was long ago: with a clock set back for good, every card is asked, rather than none.
    """
    kept = _longest_in_order(moments, now)
    believable = set(kept)
    whole: list[datetime] = []
    last = moments[kept[0]] if kept else min(LONG_AGO, now)
    for place, moment in enumerate(moments):
        last = moment if place in believable else last
        whole.append(last)
    return whole


def _longest_in_order(moments: Sequence[datetime], now: datetime) -> list[int]:
    """Return the places of the most moments up to `now` none of which is before an earlier one.

    Each moment ends the longest such row that it can end; of rows alike, the earliest end is kept.
    """
    ends: list[datetime] = []
    places: list[int] = []
    before: list[int | None] = [None] * len(moments)
    for place, moment in enumerate(moments):
        if moment > now:
            continue
        length = bisect_right(ends, moment)
        before[place] = places[length - 1] if length else None
        ends[length : length + 1] = [moment]
        places[length : length + 1] = [place]
    row: list[int] = []
    at = places[-1] if places else None
    while at is not None:
        row.append(at)
        at = before[at]
    return row[::-1]
