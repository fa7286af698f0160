"""The map of a procedure as a page or a drawing: where each row, gate and line of it stands."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from baycompanion.procedure.mapping import GateRow, PhaseRow, RestRow, Row, StepRow, map_rows
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.said import only_where
from baycompanion.sheets.page import fill
from baycompanion.text.counted import counted
from baycompanion.text.duration import write_duration

WIDTH = 900
"""Width of the drawing, in its own units."""
ROW = 24
"""Height of a row."""
TOP = 10
RIGHT = 640
"""Where the text ends, and the lines from steps to gates have their place."""
LONGEST = 100
"""Signs of a text that fit in a row."""
PIECE = 8
"""How many rows of the drawing stay together on one sheet of paper."""
LANES = 14
"""How many lines run beside one another before the first lane is used again."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """One row of the drawing: its kind, its height, and the words in it."""

    kind: str
    y: int
    words: str
    whole: str
    """All the words, where a row has no room for them."""


@dataclass(frozen=True, slots=True)
class Joined:
    """A line from a step to the gate that waits for it."""

    path: str
    words: str


def map_page(procedure: Procedure) -> str:
    """Return the map as one HTML page: drawn, and below it every gate in words."""
    running = f"{procedure.procedure}, revision {procedure.revision}"
    return fill("procedure_map.html", _form(procedure), running)


def map_drawing(procedure: Procedure) -> str:
    """Return the map as one SVG drawing, which needs nothing but itself."""
    return fill("procedure_map.svg", _form(procedure), "")


def _form(procedure: Procedure) -> dict[str, object]:
    rows = map_rows(procedure)
    drawn = tuple(_drawn(row, TOP + number * ROW) for number, row in enumerate(rows))
    height = TOP * 2 + len(rows) * ROW
    gates = [row for row in rows if isinstance(row, GateRow) and not row.again]
    return {
        "title": procedure.title,
        "named": f"{procedure.procedure}, revision {procedure.revision}",
        "counts": ", ".join(
            counted(number, word)
            for number, word in (
                (len(procedure.phases), "phase"),
                (len(procedure.steps), "step"),
                (len(procedure.all_gates), "gate"),
            )
        ),
        "width": WIDTH,
        "right": RIGHT,
        "height": height,
        "pieces": tuple(_pieces(height)),
        "rows": drawn,
        "joined": _joined(rows),
        "gates": [(row, only_where(row.gate)) for row in gates],
    }


def _pieces(height: int) -> Iterator[tuple[int, int]]:
    """Yield where each piece of the drawing begins, between two rows, and its height."""
    tops = (0, *range(TOP + PIECE * ROW, height - TOP, PIECE * ROW))
    yield from ((top, end - top) for top, end in pairwise((*tops, height)))


def _drawn(row: Row, y: int) -> Drawn:
    kind, words = _words(row)
    short = words if len(words) <= LONGEST else f"{words[: LONGEST - 1]}…"
    return Drawn(kind, y, short, words)


def _words(row: Row) -> tuple[str, str]:
    """Return the kind of a row, and its words."""
    match row:
        case PhaseRow():
            target = f" · target {write_duration(row.phase.target)}" if row.phase.target else ""
            where = only_where(row.phase)
            said = f"{row.number}  {row.phase.title}{target}{f' · {where}' if where else ''}"
            return "phase", said
        case GateRow():
            return "gate", f"{row.gate.gate} holds {row.holds}"
        case StepRow():
            where = only_where(row.step)
            said = f"{row.number}. {row.step.text}{f' ({where})' if where else ''}"
            return "step", said
        case RestRow():
            one = row.first == row.last
            return "rest", f"step {row.first}" if one else f"steps {row.first} to {row.last}"


def _joined(rows: tuple[Row, ...]) -> tuple[Joined, ...]:
    """Return the lines from each step to the first place of every gate that waits for it."""
    places: dict[str, int] = {}
    for number, row in enumerate(rows):
        if isinstance(row, GateRow):
            places.setdefault(row.gate.gate, number)
    lanes = {gate: lane % LANES for lane, gate in enumerate(places)}
    found = []
    for number, row in enumerate(rows):
        if isinstance(row, StepRow):
            for gate in row.opens:
                if gate in places:
                    lane = RIGHT + 20 + lanes[gate] * 16
                    start, end = _middle(number), _middle(places[gate])
                    path = f"M{RIGHT + 4} {start}H{lane}V{end}H{RIGHT + 10}"
                    found.append(Joined(path, f"{row.number}. {row.step.text} opens {gate}"))
    return tuple(found)


def _middle(number: int) -> int:
    return TOP + number * ROW + ROW // 2
