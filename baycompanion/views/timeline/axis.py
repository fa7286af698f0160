"""The axis of a timeline: which column a moment falls on, with long idle time cut short.

Columns go by the length of time, in proportion, but for cuts: idle time between days would leave
no room for the work. A cut takes a few columns, whatever its length, and is told of.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from itertools import pairwise

from baycompanion.job.deciding.pausing import LONG_PAUSE
from baycompanion.job.events.moment import later, moment_of, whole_milliseconds
from baycompanion.job.timeline.values import Timeline

CUT_COLUMNS = 4
"""Columns of a cut, fewer where many cuts would take more than a third of the axis."""

CUT, LINE, TICK, POINTER = "/", "─", "┴", "▲"

_STEPS = (1, 2, 5, 10, 15, 30, 60, 120, 240, 360, 720, 1440)
"""Minutes that may lie between two ticks."""

SHORT_DAY = "%m-%d"
"""How a day is written below the axis where the days have no room with their year."""

_ROOM = 8
"""The fewest columns between two ticks: a time of day, and room around it."""


@dataclass(frozen=True, slots=True)
class Cut:
    """Idle time that is drawn shorter than it was; milliseconds along the line."""

    begins: int
    ends: int


@dataclass(frozen=True, slots=True)
class Axis:
    """The columns of a drawing, and the moments that they stand for."""

    timeline: Timeline
    columns: int
    cuts: tuple[Cut, ...]
    knots: tuple[tuple[int, float], ...]
    """Places along the line with their columns; between two, the columns go in proportion."""

    def column(self, along: int) -> int:
        """Return the column of a place along the line, from 0; what lies beyond is moved in."""
        return min(max(int(self._at(along)), 0), self.columns - 1)

    def _at(self, along: int) -> float:
        after = bisect_right([place for place, _ in self.knots], along)
        if after in (0, len(self.knots)):
            return self.knots[-1 if after else 0][1]
        (begins, low), (ends, high) = self.knots[after - 1], self.knots[after]
        return low + (along - begins) * (high - low) / (ends - begins)

    def lines(self, zone: tzinfo | None, pointed: int | None = None) -> tuple[str, str, str]:
        """Return the ticks, the times of day below them, and the days; in `zone`.

        `pointed` is a column that a pointer stands on.
        """
        ticks = [LINE] * self.columns
        for cut in self.cuts:
            begins, ends = self.column(cut.begins), self.column(cut.ends)
            ticks[begins : max(ends, begins + 1)] = CUT * max(ends - begins, 1)
        times = [" "] * self.columns
        for along, when in self._told(zone):
            column = self.column(along)
            if _put(times, column, f"{when:%H:%M}") and ticks[column] == LINE:
                ticks[column] = TICK
        days = self._days(zone, "%Y-%m-%d") or self._days(zone, SHORT_DAY)
        if pointed is not None:
            ticks[pointed] = POINTER
        return "".join(ticks), "".join(times).rstrip(), "".join(days).rstrip()

    def _told(self, zone: tzinfo | None) -> Iterator[tuple[int, datetime]]:
        """Yield the moments to be told below the axis, the most wanted first."""
        length = self.timeline.length
        for begins, _ in self.sections:
            yield begins, self._when(begins, zone)
        yield length, moment_of(self.timeline.wall_before(length)).astimezone(zone)
        for begins, ends in self.sections:
            yield from self._ticks(begins, ends, zone)

    def _ticks(self, begins: int, ends: int, zone: tzinfo | None) -> Iterator[tuple[int, datetime]]:
        """Yield the round times of day in a section, as far apart as their words need."""
        wide = self._at(ends) - self._at(begins)
        minutes = (ends - begins) / 60_000
        step = next((n for n in _STEPS if wide and minutes / n <= wide / _ROOM), None)
        if step is None:
            return
        first = self._when(begins, zone)
        midnight = first.replace(hour=0, minute=0, second=0, microsecond=0)
        when = midnight + ((first - midnight) // timedelta(minutes=step)) * timedelta(minutes=step)
        while (along := begins + _between(first, when)) < ends:
            if along >= begins:
                yield along, when
            when = later(when, 60 * step)

    def _days(self, zone: tzinfo | None, form: str) -> list[str]:
        """Return the line of the days, the later ones in this form; empty where one has no room.

        A day left out would give its hours to the day before it. In the shortest form it is left
        out all the same.
        """
        days = [" "] * self.columns
        for number, (along, when) in enumerate(self._new_days(zone)):
            forms = (form,) if number else ("%Y-%m-%d", SHORT_DAY)
            put = _put(days, self.column(along), *(f"{when:{each}}" for each in forms))
            if not put and form != SHORT_DAY:
                return []
        return days

    def _new_days(self, zone: tzinfo | None) -> Iterator[tuple[int, datetime]]:
        """Yield where each day begins to be drawn."""
        told = None
        for begins, ends in self.sections:
            when = self._when(begins, zone)
            end = later(when, (ends - begins) / 1000)
            many = (ends - begins) // 86_400_000
            if when.date() != told:
                yield begins, when
            midnight = when.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
            while midnight <= end and many <= self.columns:
                yield begins + _between(when, midnight), midnight
                midnight += timedelta(days=1)
            told = end.date()

    def _when(self, along: int, zone: tzinfo | None) -> datetime:
        return moment_of(self.timeline.wall(along)).astimezone(zone)

    @property
    def sections(self) -> tuple[tuple[int, int], ...]:
        """The stretches of the line that are drawn in proportion and told by one clock."""
        edges = {0, self.timeline.length, *(start for start, _ in self.timeline.clocks)}
        edges |= {edge for cut in self.cuts for edge in (cut.begins, cut.ends)}
        ordered = sorted(edges)
        within = [
            (a, b)
            for a, b in pairwise(ordered)
            if not any(c.begins <= a < c.ends for c in self.cuts)
        ]
        return tuple(within) or ((0, 0),)


def _between(one: datetime, other: datetime) -> int:
    """Return the milliseconds from `one` to `other`, whatever the clock on the wall did."""
    return whole_milliseconds(other) - whole_milliseconds(one)


def make_axis(timeline: Timeline, columns: int) -> Axis:
    """Return the axis of `timeline` on so many columns, 1 or more."""
    cuts = tuple(_cuts(timeline))
    each = min(CUT_COLUMNS, columns / (3 * len(cuts))) if cuts else 0
    drawn = timeline.length - sum(cut.ends - cut.begins for cut in cuts)
    scale = (columns - each * len(cuts)) / drawn if drawn else 0
    knots, column, at = [(0, 0.0)], 0.0, 0
    for cut in cuts:
        column += (cut.begins - at) * scale
        knots += [(cut.begins, column), (cut.ends, column + each)]
        column, at = column + each, cut.ends
    knots.append((timeline.length, column + (timeline.length - at) * scale))
    return Axis(timeline, columns, cuts, tuple(dict(knots).items()))


def _cuts(timeline: Timeline) -> Iterator[Cut]:
    """Yield idle time longer than a long pause, or than half of all the work. Own choice."""
    working = [each for each in timeline.stretches if each.sort == "worked"]
    longest = min(LONG_PAUSE * 1000, sum(each.length for each in working) // 2)
    if not working:
        return
    at = 0
    for begins, ends in [*((each.begins, each.ends) for each in working), (timeline.length,) * 2]:
        if begins - at > longest:
            yield Cut(at, begins)
        at = ends


def _put(row: list[str], column: int, *texts: str) -> bool:
    """Write the first of `texts` that has room at `column`, or left of it at the edge."""
    for text in texts:
        begins = max(0, min(column, len(row) - len(text)))
        around = row[max(0, begins - 1) : begins + len(text) + 1]
        if len(text) <= len(row) and not "".join(around).strip():
            row[begins : begins + len(text)] = text
            return True
    return False
