"""The two charts of a phase as shapes to draw: where each point, line and mark of an axis stands.

Lengths are in the units of the drawing; y grows downwards. The times and the ranges stand on a
logarithmic axis, since it is their logarithms that the limits come from.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log

from baycompanion.audit.phases.chart import RANGE
from baycompanion.audit.phases.times import Chart, JobTime, PhaseTold, range_points
from baycompanion.spread.control import Rule
from baycompanion.spread.logs import logs
from baycompanion.text.duration import measured_duration

MOST_DRAWN = 100
"""Jobs that are drawn, the newest; the limits come from all that are kept."""

WIDTH, HIGH, LOW = 680, 240, 150
"""The width of a drawing, the height of that of the times, and of that of the ranges."""

LEFT, RIGHT, TOP, BOTTOM = 62, 116, 22, 24
"""Room around the points: for the axis, the names of the lines, and the days."""

APART = 12
"""How far names above one another stand apart at least."""

ROUND_TIMES = tuple(
    [1, 2, 5, 10, 20, 30]
    + [60 * minutes for minutes in (1, 2, 5, 10, 15, 20, 30, 45)]
    + [3600 * hours for hours in (1, 1.5, 2, 3, 4, 6, 8, 12, 24, 48, 96, 240, 480)]
)
"""Times, in seconds, at which the axis may have a mark."""

ROUND_RANGES = (1, 1.2, 1.5, 2, 3, 5, 10, 20, 50, 100, 1000)
"""How many times as long: where the axis of the ranges may have a mark."""

LETTERS: Mapping[Rule, str] = {
    "beyond a limit": "L",
    "eight on one side": "E",
    RANGE: "R",
}
"""The letter beside a point at which a signal is complete."""

SHAPES: Mapping[str, str] = {"": "circle", "L": "diamond", "E": "square", "R": "triangle"}
"""The shape of a point by the first of its letters."""


@dataclass(frozen=True, slots=True)
class Point:
    """One job: where it stands, the letters of its signals, its shape, and what it is in words."""

    x: float
    y: float
    letters: str
    shape: str
    words: str


@dataclass(frozen=True, slots=True)
class Line:
    """A line across the chart, its kind (`centre`, `limit` or `target`), and where its name is."""

    y: float
    kind: str
    name: str
    name_y: float


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark of an axis: where it stands along it, and what it says."""

    at: float
    name: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """One chart, all of it."""

    height: int
    points: tuple[Point, ...]
    lines: tuple[Line, ...]
    levels: tuple[Mark, ...]
    """Of the axis on the left."""
    days: tuple[Mark, ...]
    """Of the axis below: the day on which the job ended."""

    left = LEFT
    right = WIDTH - RIGHT
    """Where the axis below begins and ends."""

    @property
    def floor(self) -> int:
        """Where the axis below runs."""
        return self.height - BOTTOM

    @property
    def path(self) -> str:
        """The points of the line that joins all jobs."""
        return " ".join(f"{point.x},{point.y}" for point in self.points)


@dataclass(frozen=True, slots=True)
class _Named:
    """A line across, before it has a place: its height as a logarithm."""

    level: float
    kind: str
    name: str


def draw_times(told: PhaseTold, chart: Chart) -> Drawing:
    """Return the individuals chart: the time of each job, centre, limits and target."""
    drawn = chart.limits
    lines = [
        _Named(drawn.upper, "limit", f"upper {measured_duration(exp(drawn.upper))}"),
        _Named(drawn.centre, "centre", f"centre {measured_duration(exp(drawn.centre))}"),
        _Named(drawn.lower, "limit", f"lower {measured_duration(exp(drawn.lower))}"),
    ]
    if told.target:
        lines.append(_Named(log(told.target), "target", f"target {measured_duration(told.target)}"))
    marked = _letters(chart, {"beyond a limit", "eight on one side"})
    words = [f"{time.job}: {measured_duration(time.worked)}" for time in told.times]
    marks = [(log(time), measured_duration(time)) for time in ROUND_TIMES]
    return _drawing(logs(told.worked), told.times, words, lines, marks, marked, HIGH)


def draw_ranges(told: PhaseTold, chart: Chart) -> Drawing:
    """Return the chart of the moving ranges: how many times as long as the job before."""
    drawn = chart.limits
    lines = [
        _Named(drawn.range_limit, "limit", f"limit ×{exp(drawn.range_limit):.2f}"),
        _Named(drawn.mean_range, "centre", f"mean ×{exp(drawn.mean_range):.2f}"),
    ]
    ranges = range_points(told.worked)
    words = [
        f"{time.job}: ×{exp(step or 0):.2f}" for time, step in zip(told.times, ranges, strict=True)
    ]
    marks = [(log(times), f"×{times:g}") for times in ROUND_RANGES]
    return _drawing(ranges, told.times, words, lines, marks, _letters(chart, {RANGE}), LOW, low=0)


def _letters(chart: Chart, rules: Collection[Rule]) -> dict[int, str]:
    """Return the letters of each point at which signals of these rules are complete."""
    letters: dict[int, str] = {}
    for signal in chart.signals:
        if signal.rule in rules:
            letters[signal.index] = letters.get(signal.index, "") + LETTERS[signal.rule]
    return letters


def _drawing(
    levels: Sequence[float | None],
    times: Sequence[JobTime],
    words: Sequence[str],
    lines: Sequence[_Named],
    marks: Sequence[tuple[float, str]],
    marked: Mapping[int, str],
    height: int,
    low: float | None = None,
) -> Drawing:
    """Return the newest of `levels` with everything at its place; `low` is where the axis begins.

    Without it, the axis reaches a little beyond all points and lines at both ends.
    """
    begin = max(0, len(levels) - MOST_DRAWN)
    shown = [level for level in levels[begin:] if level is not None]
    everything = [*shown, *(line.level for line in lines)]
    top = max(everything)
    bottom = min(everything) if low is None else low
    margin = (top - bottom) * 0.04 or 1.0
    top, bottom = top + margin, bottom - (margin if low is None else 0)
    step = (WIDTH - LEFT - RIGHT) / max(1, len(levels) - begin)

    def x(index: int) -> float:
        return round(LEFT + (index - begin + 0.5) * step, 2)

    def y(level: float) -> float:
        return round(TOP + (top - level) / (top - bottom) * (height - TOP - BOTTOM), 2)

    points = tuple(
        Point(x(n), y(level), marked.get(n, ""), SHAPES[marked.get(n, "")[:1]], words[n])
        for n, level in enumerate(levels)
        if n >= begin and level is not None
    )
    inside = [Mark(y(level), name) for level, name in marks if bottom <= level <= top]
    ends = sorted({begin, (begin + len(levels) - 1) // 2, len(levels) - 1})
    return Drawing(
        height,
        points,
        tuple(_placed([(y(line.level), line) for line in lines])),
        tuple(_thinned(inside)),
        tuple(Mark(x(n), times[n].ended_at[:10]) for n in ends),
    )


def _thinned(marks: Sequence[Mark]) -> Iterator[Mark]:
    """Yield the marks that have room above the one before, from below."""
    last: float | None = None
    for mark in marks:
        if last is None or last - mark.at >= APART:
            last = mark.at
            yield mark


def _placed(lines: Sequence[tuple[float, _Named]]) -> list[Line]:
    """Return the lines from above, names pushed down where they would overlap."""
    placed: list[Line] = []
    for at, line in sorted(lines, key=lambda each: each[0]):
        name_y = max(at, placed[-1].name_y + APART) if placed else at
        placed.append(Line(at, line.kind, line.name, round(name_y, 2)))
    return placed
