"""The lines of a list of marks: each with its marks in words, and its sign in the drawing."""

from dataclasses import replace
from typing import Any

from baycompanion.job.state.panel_marks import compared_words, marks_words
from baycompanion.job.state.sheet import Comparison, compare
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Inspect
from baycompanion.views.card.card import Row
from baycompanion.views.card.many_lines import both_said

MANY = "+"
"""Stands for more marks than one digit counts."""

_SIGNS = {"unmarked": "✓", "not fitted": "–", "could not see": "?"}


def with_marks(
    procedure: Procedure, state: State, step: Inspect, rows: tuple[Row, ...]
) -> tuple[Row, ...]:
    """Return `rows`, the lines of `step`, with what was found on each panel.

    What was found before the work is told only of a line that is answered by now: whoever looks
    must not be led to see what stood there.
    """
    panels = {item.item: item.panel for item in procedure.items_of(step)}
    compared = {each.item.item: each for each in compare(procedure, state, step)}
    return tuple(
        replace(row, panel=panels[row.name], **_said(step, row, compared.get(row.name)))
        for row in rows
    )


def _said(step: Inspect, row: Row, line: Comparison | None) -> dict[str, Any]:
    """Return the words and the signs of an answered line; nothing new of one that is not."""
    if line is None:
        return {"drawn": "·"}
    words = line.now.words if not line.now.marks else marks_words(line.now.marks)
    if step.compares and line.marks:
        words = "; ".join(map(compared_words, line.marks))
    compared = f" ({line.word})" if step.compares and not line.marks else ""
    said = f"{line.now.outcome} {both_said(line)}"
    if not (step.compares and line.said_differently):
        said = f"{line.now.outcome}{compared}{f': {words}' if words else ''}"
    return {"word": said, "drawn": _drawn(step, line), "sign": _sign(step, row, line)}


def _drawn(step: Inspect, line: Comparison) -> str:
    """Return the sign of a panel in the drawing: how many marks, unless it is worse."""
    if step.compares and line.word == "worse":
        return "!"
    count = len(line.now.marks or ())
    if line.now.outcome != "marked":
        return _SIGNS[line.now.outcome]
    return MANY if count > 9 else str(count or 1)


def _sign(step: Inspect, row: Row, line: Comparison) -> str:
    """Return the sign of a line: a panel that is as it was before is well."""
    as_before = line.word in ("unchanged", "better") and not line.said_differently
    return "✓" if step.compares and as_before else row.sign
