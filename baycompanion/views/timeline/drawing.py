"""The drawing of a timeline as text: a row for each phase, marks on the rows they belong to.

A row is a line of signs, one sign wide for so many minutes. What a sign means never hangs on
colour; where two marks fall on one place, the heavier one is drawn there and the other beside it.
"""

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from baycompanion.job.timeline.values import Sort, Timeline, What
from baycompanion.procedure.model import Procedure
from baycompanion.text.duration import rough_duration
from baycompanion.views.card.signs import GATE_SIGNS
from baycompanion.views.timeline.axis import Axis, make_axis

WORKED, PAUSED, UNKNOWN, HELD = "█", "░", "?", "┄"
POINTER = "▸"

BARS: dict[Sort, str] = {"worked": WORKED, "unaccounted": UNKNOWN, "paused": PAUSED}
"""What a stretch of each sort is drawn with; a later one is drawn over those before it."""

SIGNS: dict[What, str] = {
    "gate overridden": GATE_SIGNS["overridden"][0],
    "fault": "!",
    "given up": "x",
    "keys in": "[",
    "keys back": "]",
    "gate shut": GATE_SIGNS["held"][0],
    "gate shut again": GATE_SIGNS["shut again"][0],
    "released for now": "~",
    "gate opened for now": "~",
    "gap": UNKNOWN,
    "clock set back": "%",
    "other hands": "@",
    "step reopened": "<",
    "newer revision": "^",
    "fault cleared": "+",
    "second person": "&",
    "from paper": "*",
    "late entry": "*",
    "pause": PAUSED,
    "gate opened": GATE_SIGNS["open"][0],
}
"""The sign of each kind of mark, one column wide, the heaviest first."""

_WEIGHT = {what: place for place, what in enumerate(SIGNS)}
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
_ASIDE = (0, 1, -1, 2, -2)
"""How far from its place a mark may stand, in columns, where others stand there."""

_BEFORE: dict[What, tuple[int, ...]] = {
    "gate shut": (0, -1, -3),
    "gate opened": (0, -1),
    "gate opened for now": (0, -1),
    "gate overridden": (0, -2),
}
"""Where the sign of a gate stands rather, if no bar is there: in front of the work it held."""

JOB = "The job"
MOST_CUTS = 3
"""Cuts that are told of one by one."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: a phase, or the job as a whole."""

    phase: str
    title: str
    cells: str
    """One sign for each column of the axis."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A timeline as text; the titles of its rows are all of one width."""

    rows: tuple[Row, ...]
    axis: tuple[str, str, str]
    """The ticks, the times of day, the days."""
    places: tuple[tuple[int, int], ...]
    """For each mark the row and the column in which it stands, or would stand."""
    notes: tuple[str, ...]
    """What has to be said of the drawing."""
    pointed: int | None
    """The row that is pointed at."""

    @property
    def columns_before(self) -> int:
        """The columns in front of the first one of the axis."""
        return cells_of(self.rows[0].title) + 2

    @property
    def row_lines(self) -> tuple[str, ...]:
        """The rows with their titles."""
        return tuple(
            f"{POINTER if number == self.pointed else ' '}{row.title} {row.cells}".rstrip()
            for number, row in enumerate(self.rows)
        )

    @property
    def axis_lines(self) -> tuple[str, ...]:
        """What stands below the rows."""
        return tuple(f"{'':{self.columns_before}}{line}" for line in self.axis)

    @property
    def lines(self) -> tuple[str, ...]:
        """The whole drawing."""
        return (*self.row_lines, *self.axis_lines, *self.notes)


def signs_of(timeline: Timeline) -> tuple[str, ...]:
    """Return the sign of every mark; overrides have a letter besides, in the order of time."""
    letters = iter(_LETTERS)
    return tuple(
        f"{SIGNS[mark.what]}{next(letters, '')}"
        if mark.what == "gate overridden"
        else SIGNS[mark.what]
        for mark in timeline.marks
    )


def draw(
    procedure: Procedure,
    timeline: Timeline,
    width: int,
    zone: tzinfo | None,
    chosen: int | None = None,
) -> Drawing:
    """Return the drawing of `timeline`, no wider than `width` columns, 40 or more.

    Times of day are those of `zone`. The mark with the number `chosen` is pointed at, and drawn
    whatever else stands in its place.
    """
    titles = row_titles(procedure, timeline)
    longest = width // 4 + 4
    wide = min(max(map(cells_of, titles.values())), longest)
    axis = make_axis(timeline, width - wide - 2)
    phases = list(titles)
    canvas = [_bars(timeline, axis, phase) for phase in phases]
    places, hidden = _mark(timeline, axis, phases, canvas, chosen)
    rows = tuple(
        Row(phase, _fitted(title, wide), "".join(cells))
        for (phase, title), cells in zip(titles.items(), canvas, strict=True)
    )
    pointed = places[chosen] if chosen is not None else None
    return Drawing(
        rows=rows,
        axis=axis.lines(zone, pointed[1] if pointed is not None else None),
        places=places,
        notes=tuple(_notes(axis, hidden)),
        pointed=pointed[0] if pointed is not None else None,
    )


def row_titles(procedure: Procedure, timeline: Timeline) -> dict[str, str]:
    """Return the rows by phase: the job, then the phases in their order that anything was in.

    A phase that a newer revision took away has only its id, and stands last.
    """
    seen = dict.fromkeys(
        (*(each.phase for each in timeline.stretches), *(mark.phase for mark in timeline.marks))
    )
    kept = {each.phase: each.title for each in procedure.phases if each.phase in seen}
    return {"": JOB} | kept | {phase: phase for phase in seen if phase and phase not in kept}


CUT_OFF = ".."
"""Ends a title that is cut off. Two signs in every terminal, so that columns stay in line."""


def _fitted(title: str, wide: int) -> str:
    """Return `title` on so many columns, cut off or filled up."""
    kept = title
    while cells_of(kept) > wide:
        kept = f"{kept.removesuffix(CUT_OFF)[:-1]}{CUT_OFF}"
    return kept + " " * (wide - cells_of(kept))


def cells_of(text: str) -> int:
    """Return the columns that `text` takes: two for a wide sign, none for one that combines."""
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1
        for sign in text
    )


def _bars(timeline: Timeline, axis: Axis, phase: str) -> list[str]:
    """Return the columns of one row: its stretches, and where a gate was shut in front of it."""
    cells = [" "] * axis.columns
    for sort, sign in BARS.items():
        for each in timeline.of_phase(phase):
            if each.sort == sort:
                _fill(cells, axis.column(each.begins), axis.column(each.ends), sign)
    for mark in timeline.marks:
        if mark.what == "gate shut" and mark.phase == phase:
            ends = mark.ends if mark.ends is not None else timeline.length
            for column in range(axis.column(mark.at), axis.column(ends) + 1):
                cells[column] = HELD if cells[column] == " " else cells[column]
    return cells


def _fill(cells: list[str], begins: int, ends: int, sign: str) -> None:
    """Draw a stretch, one column at least."""
    for column in range(begins, max(ends, begins + 1)):
        cells[column] = sign


def _mark(
    timeline: Timeline,
    axis: Axis,
    phases: Sequence[str],
    canvas: list[list[str]],
    chosen: int | None,
) -> tuple[tuple[tuple[int, int], ...], int]:
    """Draw every mark, the heaviest first; return where each stands, and how many do not."""
    signs = signs_of(timeline)
    order = sorted(
        range(len(signs)), key=lambda n: (n != chosen, _WEIGHT[timeline.marks[n].what], n)
    )
    taken: list[set[int]] = [set() for _ in phases]
    places: dict[int, tuple[int, int]] = {}
    hidden = 0
    for number in order:
        mark, sign = timeline.marks[number], signs[number]
        row = phases.index(mark.phase)
        at = min(axis.column(mark.at), axis.columns - len(sign))
        before = [n for n in _BEFORE.get(mark.what, ()) if _is_bare(canvas[row], at + n, sign)]
        asides = (*before, *_asides(mark.what, axis.columns))
        column = _free(taken[row], at, asides, len(sign), axis.columns)
        places[number] = (row, at if column is None else column)
        if column is None:
            hidden += 1
            continue
        taken[row] |= set(range(column, column + len(sign)))
        canvas[row][column : column + len(sign)] = sign
    return tuple(places[number] for number in range(len(signs))), hidden


def _asides(what: What, columns: int) -> Sequence[int]:
    """Return how far aside a mark may stand, the nearest first: an override is never left out."""
    everywhere = what == "gate overridden"
    return sorted(range(-columns, columns + 1), key=abs) if everywhere else _ASIDE


def _is_bare(cells: Sequence[str], at: int, sign: str) -> bool:
    """Return whether no bar is drawn where `sign` would stand."""
    return at >= 0 and all(cell in (" ", HELD) for cell in cells[at : at + len(sign)])


def _free(taken: set[int], at: int, asides: Iterable[int], wide: int, columns: int) -> int | None:
    """Return the first free place beside `at`, None where none is."""
    for aside in asides:
        begins = at + aside
        inside = 0 <= begins <= columns - wide
        if inside and taken.isdisjoint(range(begins, begins + wide)):
            return begins
    return None


def _notes(axis: Axis, hidden: int) -> Iterator[str]:
    """Yield what has to be said of the drawing."""
    if axis.cuts:
        lengths = [rough_duration((cut.ends - cut.begins) // 1000) for cut in axis.cuts]
        more = f" and {len(lengths) - MOST_CUTS} more" if len(lengths) > MOST_CUTS else ""
        yield f"// idle time, not to scale: {', '.join(lengths[:MOST_CUTS])}{more}"
    if hidden:
        many = "1 mark has" if hidden == 1 else f"{hidden} marks have"
        yield f"{many} no free place above; the list has all of them."


def bars_legend(timeline: Timeline) -> str:
    """Return what the bars mean that there are."""
    sorts = {each.sort for each in timeline.stretches}
    there = {mark.what for mark in timeline.marks}
    told = {
        f"{WORKED} worked": True,
        f"{PAUSED} paused": "paused" in sorts,
        f"{UNKNOWN} gap": "unaccounted" in sorts or "gap" in there,
        f"{HELD} gate shut": "gate shut" in there,
    }
    return "  ".join(words for words, drawn in told.items() if drawn)


def marks_legend(timeline: Timeline) -> str:
    """Return what the signs of the marks mean that there are."""
    named: dict[str, list[str]] = {}
    there = {mark.what for mark in timeline.marks} - {"pause", "gap"}  # their bars have the sign
    for what, sign in SIGNS.items():
        if what in there:
            named.setdefault(sign, []).append(what)
    return "  ".join(f"{sign} {', '.join(whats)}" for sign, whats in named.items())
