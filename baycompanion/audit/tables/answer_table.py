"""An answer across shops as a table in words: grouped, without colour.

Its figures fit 80 columns; a name that would push them stands on a line of its own.
"""

import os.path
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from baycompanion.audit.tables.cross_shop import Answer
from baycompanion.text.duration import measured_duration

WIDTH = 80

INDENT = 4
"""Columns before a row, which stands below the line of its group."""


def table_lines(answer: Answer) -> list[str]:
    """Return the lines of an answer; nothing but its heading and a word where it is empty."""
    if not answer.rows:
        return [answer.query.tells.upper(), "  none"]
    keys = len(answer.query.by)
    names = _short_shops(answer)
    figures = answer.columns[keys:]
    heads = [_heads(column) for column in figures]
    cells = [
        [_cell(column, value) for column, value in zip(figures, row[keys:], strict=True)]
        for row in answer.rows
    ]
    widths = [
        max(map(len, (*head, *(row[place] for row in cells)))) for place, head in enumerate(heads)
    ]
    longest = max(len(name) for *_, name in names)
    room = WIDTH - INDENT - sum(widths)
    gap = 2 if longest <= room - 2 * len(widths) else 1
    wide = min(longest, room - gap * len(widths))
    columns = [wide, *(gap + width for width in widths)]
    lines = [answer.query.tells.upper()]
    lines += [_row(["", *(head[line] for head in heads)], columns) for line in (0, 1)]
    told = zip(names, cells, strict=True)
    for group, rows in groupby(told, key=lambda each: each[0][:-1]):
        if group:
            lines.append(f"  {', '.join(group)}")
        for (*_, name), row in rows:
            if len(name) > wide:  # no name is cut short for its figures
                lines.append(_row([name], columns))
                name = ""
            lines.append(_row([name, *row], columns))
    return [line for line in lines if line]


def _row(cells: Sequence[str], columns: Sequence[int]) -> str:
    """Return a line: the name on the left, figures on the right of their columns."""
    wide, *others = columns
    name, *figures = cells
    told = "".join(f"{cell:>{width}}" for cell, width in zip(figures, others, strict=False))
    return f"{'':{INDENT}}{name:{wide}}{told}".rstrip()


def _heads(column: str) -> tuple[str, str]:
    """Return the name of a column on two lines, as even as its words allow; what a unit says not.

    The lower line is never empty, so that it stands right above the figures.
    """
    words = column.removesuffix("_seconds").split("_")
    splits = [(" ".join(words[:at]), " ".join(words[at:])) for at in range(len(words))]
    return min(splits, key=lambda split: max(map(len, split)))


def _cell(column: str, value: Any) -> str:
    """Return one figure: a share in percent, seconds as people say them, a dash for none."""
    if value is None:
        return "-"
    if column.endswith("_share"):
        return f"{value:.0%}"
    if column.endswith("_seconds"):
        return measured_duration(value)
    return f"{value:,}"


def _short_shops(answer: Answer) -> list[tuple[str, ...]]:
    """Return what stands for each row, shops without the folder that all of them lie in."""
    at = answer.query.by.index("shop") if "shop" in answer.query.by else None
    shops = {row[at] for row in answer.rows} if at is not None else set()
    common = _common(shops)

    def said(place: int, value: Any) -> str:
        if place == at:
            return os.path.relpath(value, common) if common else str(value)
        return f"{answer.query.by[place]} {value}" if isinstance(value, int) else str(value)

    keys = len(answer.query.by)
    return [
        tuple(said(place, value) for place, value in enumerate(row[:keys])) for row in answer.rows
    ]


def _common(shops: set[str]) -> str:
    """Return the folder that all of several `shops` lie in; nothing where there is none."""
    try:
        return os.path.commonpath(shops) if len(shops) > 1 else ""
    except ValueError:  # some begin at the root and some do not, or on other drives
        return ""
