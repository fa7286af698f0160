"""An answer across shops as a table in words: grouped, no wider than 80 columns, without colour."""

import os.path
from collections.abc import Sequence
from itertools import groupby
from typing import Any

from baycompanion.audit.cross_shop import Answer
from baycompanion.text.duration import rough_duration

WIDTH = 80

INDENT = 4
"""Columns before a row, which stands below the line of its group."""

NARROWEST = 12
"""Columns that a name has at least, however many figures stand beside it."""


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
    room = WIDTH - INDENT - sum(width + 1 for width in widths)
    wide = max(NARROWEST, min(longest, room))
    lines = [answer.query.tells.upper()]
    lines += [_row("", [head[line] for head in heads], wide, widths) for line in (0, 1)]
    told = zip(names, cells, strict=True)
    for group, rows in groupby(told, key=lambda each: each[0][:-1]):
        if group:
            lines.append(f"  {_cut(', '.join(group), WIDTH - 2)}")
        lines += [_row(name, row, wide, widths) for (*_, name), row in rows]
    return [line.rstrip() for line in lines if line.strip()]


def _row(name: str, cells: Sequence[str], wide: int, widths: Sequence[int]) -> str:
    told = "".join(f" {cell:>{width}}" for cell, width in zip(cells, widths, strict=True))
    return f"{'':{INDENT}}{_cut(name, wide):{wide}}{told}"


def _cut(text: str, wide: int) -> str:
    return text if len(text) <= wide else f"{text[: wide - 1]}…"


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
        return f"{value:.0f} s" if value < 60 else rough_duration(round(value))
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
