"""The drawn outline of a vehicle: top and both sides unfolded, and the cabin from above.

The front of the vehicle is at the left, its right side lies above its top and its left side below.
A panel has its sign in its cell; the one in hand stands between brackets, so that neither needs a
colour.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from baycompanion.procedure.panels import Panel

Way = Literal["up", "down", "left", "right"]


@dataclass(frozen=True, slots=True)
class Cell:
    """Where a panel lies in its drawing: `height` rows of `width` columns from its first one.

    With a label, sign and label share its one row; without, the label is part of the drawing and
    the sign stands below it.
    """

    row: int
    column: int
    width: int
    height: int = 1
    label: str = ""

    @property
    def middle(self) -> float:
        """The column of its middle."""
        return self.column + self.width / 2


@dataclass(frozen=True, slots=True)
class Sheet:
    """One drawing, and the panels on it."""

    art: tuple[str, ...]
    cells: Mapping[Panel, Cell]


@dataclass(frozen=True, slots=True)
class Region:
    """The part of a drawing that stands for a panel."""

    panel: Panel
    row: int
    column: int
    width: int
    height: int

    def holds(self, row: int, column: int) -> bool:
        """Return whether the character at `row` and `column` is in it."""
        across = self.column <= column < self.column + self.width
        return across and self.row <= row < self.row + self.height


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing as lines of text of one width, and where in them each panel is."""

    lines: tuple[str, ...]
    regions: tuple[Region, ...]

    def at(self, row: int, column: int) -> Panel | None:
        """Return the panel drawn at `row` and `column`, counted from 0."""
        return next((each.panel for each in self.regions if each.holds(row, column)), None)


BODY = Sheet(
    art=(
        " right side (         )            (         ) ",
        "╭──────────┬───────────┬───────────┬──────────╮",
        "│          │           │           │          │",
        "├──────┬───┴─┬──────┬──┴──┬──────┬─┴───┬──────┤",
        "│bumper│ hood│glass │ roof│glass │trunk│bumper│",
        "│      │     │      │     │      │     │      │",
        "├──────┴───┬─┴──────┴──┬──┴──────┴─┬───┴──────┤",
        "│          │           │           │          │",
        "╰──────────┴───────────┴───────────┴──────────╯",
        " left side  (         )            (         ) ",
    ),
    cells={
        "right-front-wheel": Cell(0, 13, 9, label="wheel"),
        "right-rear-wheel": Cell(0, 36, 9, label="wheel"),
        "right-front-fender": Cell(2, 1, 10, label="fender"),
        "right-front-door": Cell(2, 12, 11, label="door"),
        "right-rear-door": Cell(2, 24, 11, label="door"),
        "right-rear-fender": Cell(2, 36, 10, label="fender"),
        "right-mirror": Cell(3, 10, 10, label="mirror"),
        "right-windows": Cell(3, 24, 11, label="windows"),
        "front-bumper": Cell(4, 1, 6, 2),
        "hood": Cell(4, 8, 5, 2),
        "windshield": Cell(4, 14, 6, 2),
        "roof": Cell(4, 21, 5, 2),
        "rear-window": Cell(4, 27, 6, 2),
        "trunk-lid": Cell(4, 34, 5, 2),
        "rear-bumper": Cell(4, 40, 6, 2),
        "left-mirror": Cell(6, 10, 10, label="mirror"),
        "left-windows": Cell(6, 24, 11, label="windows"),
        "left-front-fender": Cell(7, 1, 10, label="fender"),
        "left-front-door": Cell(7, 12, 11, label="door"),
        "left-rear-door": Cell(7, 24, 11, label="door"),
        "left-rear-fender": Cell(7, 36, 10, label="fender"),
        "left-front-wheel": Cell(9, 13, 9, label="wheel"),
        "left-rear-wheel": Cell(9, 36, 9, label="wheel"),
    },
)

CABIN = Sheet(
    art=(
        " the cabin, from above                         ",
        "╭──────┬──────────┬───────────┬───────┬───────╮",
        "│ dash │          │           │  rear │  load │",
        "│ top  ├──────────┼───────────┤  seat │ floor │",
        "│      │          │           │       │       │",
        "│      ├──────────┼───────────┤       │       │",
        "│      │          │           │       │       │",
        "╰──────┴──────────┴───────────┴───────┴───────╯",
        "(             )(                  )(          )",
        "                                               ",
    ),
    cells={
        "right-door-trim": Cell(1, 10, 19, label="right door trim"),
        "right-dash": Cell(2, 8, 10, label="right"),
        "right-front-seat": Cell(2, 19, 11, label="seat"),
        "dash-top": Cell(2, 1, 6, 5),
        "dash-centre": Cell(4, 8, 10, label="centre"),
        "console": Cell(4, 19, 11, label="console"),
        "rear-seat": Cell(2, 31, 7, 5),
        "load-floor": Cell(2, 39, 7, 5),
        "left-dash": Cell(6, 8, 10, label="left"),
        "left-front-seat": Cell(6, 19, 11, label="seat"),
        "left-door-trim": Cell(7, 10, 19, label="left door trim"),
        "headliner": Cell(8, 1, 13, label="headliner"),
        "steering-wheel": Cell(8, 16, 18, label="steering wheel"),
        "carpet": Cell(8, 36, 10, label="carpet"),
    },
)

SHEETS = (BODY, CABIN)
"""Both drawings, in the order in which the arrow keys walk through them."""

WIDTH = len(BODY.art[0])
"""The columns of a drawing."""
HEIGHT = len(BODY.art)
"""The rows of a drawing."""


def sheet_of(panel: Panel) -> Sheet:
    """Return the drawing that `panel` is on."""
    return next(sheet for sheet in SHEETS if panel in sheet.cells)


def draw(sheet: Sheet, signs: Mapping[Panel, str], in_hand: Panel | None = None) -> Drawing:
    """Return `sheet` with the sign of each panel in `signs`, one character each.

    A panel that has no sign is not asked for: it is drawn, and stands for nothing.
    """
    rows = [list(line) for line in sheet.art]
    for panel, cell in sheet.cells.items():
        said = _cell_words(cell, signs.get(panel, " "), panel == in_hand)
        row = cell.row + cell.height // 2
        rows[row][cell.column : cell.column + cell.width] = said
    regions = (
        Region(panel, cell.row, cell.column, cell.width, cell.height)
        for panel, cell in sheet.cells.items()
        if panel in signs
    )
    return Drawing(tuple("".join(row) for row in rows), tuple(regions))


def _cell_words(cell: Cell, sign: str, in_hand: bool) -> str:
    """Return what stands in the row of a cell's sign."""
    first, last = "[]" if in_hand else "  "
    if not cell.label:
        return f"{first}{sign}{last}".center(cell.width)
    return f"{first}{cell.label:<{cell.width - 4}} {sign}{last}"


def move(asked: Collection[Panel], panel: Panel, way: Way) -> Panel:
    """Return the panel of `asked` that an arrow key leads to from `panel`, which is one of them.

    Left and right go on as reading does, from row to row and from the body to the cabin, so that
    no panel is out of reach; up and down go to the nearest one in the next row that has any.
    """
    rows = _rows(asked)
    reading = [each for row in rows for each in row]
    if way in ("left", "right"):
        place = reading.index(panel) + (1 if way == "right" else -1)
        return reading[min(max(place, 0), len(reading) - 1)]
    at = next(place for place, row in enumerate(rows) if panel in row)
    to = min(max(at + (1 if way == "down" else -1), 0), len(rows) - 1)
    if to == at:
        return panel
    middle = _cell(panel).middle
    return min(rows[to], key=lambda each: abs(_cell(each).middle - middle))


def _cell(panel: Panel) -> Cell:
    return sheet_of(panel).cells[panel]


def _rows(asked: Collection[Panel]) -> list[list[Panel]]:
    """Return the panels of `asked` row by row, from the top of the first drawing to the last."""
    rows: dict[tuple[int, int], list[Panel]] = {}
    for number, sheet in enumerate(SHEETS):
        for panel, cell in sheet.cells.items():
            if panel in asked:
                rows.setdefault((number, cell.row + cell.height // 2), []).append(panel)
    return [sorted(row, key=lambda panel: _cell(panel).column) for _, row in sorted(rows.items())]


def named(names: Mapping[Panel, str], typed: str, at: Panel) -> Panel | None:
    """Return the next panel after `at` with a word in its name that begins as `typed` does.

    A second letter stays where the first one led if it still fits; None where no name fits.
    """
    order = list(names)
    place = order.index(at) + (1 if len(typed) == 1 else 0)
    for panel in (*order[place:], *order[:place]):
        words = names[panel].casefold().split()
        if any(" ".join(words[n:]).startswith(typed.casefold()) for n in range(len(words))):
            return panel
    return None
