"""Lines of parts joined by middle dots: where one has no room it is broken at a dot, and set in."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from textual.content import Content
from textual.css.styles import RulesMap
from textual.strip import Strip
from textual.style import Style
from textual.visual import RenderOptions, Visual

DOT = " · "

SET_IN = 2
"""Columns that what follows a break is set in by."""

WIDEST_SIGN = 2
"""Columns; with less room than that, a sign would be lost."""


class Parted(NamedTuple):
    """One line before it is broken."""

    text: str
    style: str = ""
    column: int = 0
    """Where it begins."""


class PartedLines(Visual):
    """Some lines, one below the other."""

    def __init__(self, lines: Sequence[Parted]) -> None:
        """Show `lines`."""
        self._lines = lines

    def __str__(self) -> str:
        """Return the lines unbroken, one below the other."""
        return "\n".join(" " * line.column + line.text for line in self._lines)

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:
        """Return the columns that every line takes unbroken."""
        return max((line.column + _columns(line.text) for line in self._lines), default=0)

    def get_height(self, rules: RulesMap, width: int) -> int:
        """Return how many rows there are where each has so many columns."""
        return sum(1 for line in self._lines for _ in broken(line, width))

    def render_strips(
        self, width: int, height: int | None, style: Style, options: RenderOptions
    ) -> list[Strip]:
        """Draw the rows."""
        rows = [
            Content.styled(row, line.style) for line in self._lines for row in broken(line, width)
        ]
        return Content("\n").join(rows).render_strips(width, height, style, options)


def broken(line: Parted, width: int) -> Iterator[str]:
    """Yield the rows of `line`, none wider than `width` columns where a word has room at all."""
    rows: list[str] = []
    for part in line.text.split(DOT):
        longer = f"{rows[-1]}{DOT}{part}" if rows else part
        room = width - line.column - (SET_IN if len(rows) > 1 else 0)
        if _columns(longer) <= room:
            rows[-1:] = [longer]
        else:
            words = Content(part).wrap(max(WIDEST_SIGN, width - line.column - SET_IN))
            rows += [each.plain.rstrip() for each in words]
    for number, row in enumerate(rows):
        yield " " * (line.column + (SET_IN if number else 0)) + row


def _columns(text: str) -> int:
    return Content(text).cell_length
