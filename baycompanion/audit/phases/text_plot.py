"""A plot made of text: points in a row from left to right, and lines across with their names.

It needs no colour, no wide signs and no more than 80 columns.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

WIDTH = 56
"""Points that have room in one plot."""

LABEL = 19
"""Columns that the names of the lines take."""

POINT, MARKED = "o", "X"


@dataclass(frozen=True, slots=True)
class Across:
    """A line across the plot: its height, in the unit of the points, its name and its sign."""

    at: float
    name: str
    sign: str


def plot(
    points: Sequence[float | None], across: Sequence[Across], marked: Collection[int], height: int
) -> list[str]:
    """Return the lines of a plot, the highest first; every point and every line has room.

    Args:
        points: At most `WIDTH`, from left to right; None leaves its column empty.
        across: The lines; where two fall on one row, both are named, by the first word of each
            where there is no room for more.
        marked: The numbers of the points that are drawn as `X`, not as `o`; 0 is the first.
        height: Rows, at least 2.
    """
    levels = [*(point for point in points if point is not None), *(line.at for line in across)]
    low, high = min(levels), max(levels)
    step = (high - low) / (height - 1) or 1.0

    def row(level: float) -> int:
        return round((level - low) / step)

    names: dict[int, list[str]] = {}
    canvas = [[" "] * len(points) for _ in range(height)]
    for line in across:
        canvas[row(line.at)] = [line.sign] * len(points)
        names.setdefault(row(line.at), []).append(line.name)
    for column, point in enumerate(points):
        if point is not None:
            canvas[row(point)][column] = MARKED if column in marked else POINT
    return [
        f"{_joined(names.get(at, [])):>{LABEL}} |{''.join(canvas[at])}".rstrip()
        for at in reversed(range(height))
    ]


def _joined(names: Sequence[str]) -> str:
    """Return the names in one row, none of which may push the row to the right."""
    whole = ", ".join(names)
    if len(names) < 2 or len(whole) <= LABEL:
        return whole
    return "/".join(name.split()[0] for name in names)
