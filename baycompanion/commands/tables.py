"""Tables in a terminal: cells in columns as wide as their longest."""

from collections.abc import Sequence

from baycompanion.out import data

WIDEST = 40
"""The widest column, in signs; a longer cell is cut short, in the last column never."""


def print_table(lines: Sequence[tuple[str, ...]]) -> None:
    """Print the cells of `lines` in columns as wide as their longest, the last one open."""
    widths = [min(WIDEST, max(len(cell) for cell in column)) for column in zip(*lines, strict=True)]
    for line in lines:
        *cells, last = line
        fitted = [_fitted(cell, width) for cell, width in zip(cells, widths, strict=False)]
        data("  ".join([*fitted, last]))


def _fitted(cell: str, width: int) -> str:
    return cell.ljust(width) if len(cell) <= width else f"{cell[: width - 1]}…"
