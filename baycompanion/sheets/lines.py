"""The lines of a list, a count or a condition sheet on paper, each with its boxes."""

from dataclasses import replace

from baycompanion.job.deciding.ticking import NEED_WORDS, line_outcomes, outcomes_of
from baycompanion.job.events.kinds import Ticked
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.panel_marks import marks_words
from baycompanion.job.state.parts_order import for_part
from baycompanion.procedure.steps import Choose, Count, Do, Item, Step
from baycompanion.sheets.choosing import left_out
from baycompanion.sheets.form import Blank, Box, Line, Lines, Source
from baycompanion.sheets.tray_lines import tray_heads, tray_lines
from baycompanion.sheets.words import applying_note, why_not

ONE_COLUMN = 4
"""So many lines stand below one another; more go into two columns."""


def lines_of(source: Source, step: Step) -> Lines | None:
    """Return the lines of `step`, none for a step that is answered whole."""
    if isinstance(step, Count):
        stating = ("others",) if step.matches else ()
        counted = _headed(tray_lines(source, step))
        return Lines(tray_heads(source, step), (counted,), wanting_words=stating)
    items = source.procedure.items_of(step) or items_that_apply(
        source.procedure, source.state, step
    )
    if not items:
        return None
    outcomes = _outcomes(source, step)
    return Lines(
        heads=outcomes,
        columns=_columns(tuple(_line(source, step, item) for item in items)),
        wanting_words=tuple(outcome for outcome in outcomes if outcome in NEED_WORDS),
    )


def _outcomes(source: Source, step: Step) -> tuple[str, ...]:
    """Return the answers that every line of `step` can have; those of choices are alike."""
    if isinstance(step, Choose):
        return line_outcomes(source.procedure, step, step.settles[0])
    return outcomes_of(source.procedure, step)


def _line(source: Source, step: Step, item: Item) -> Line:
    note = applying_note(source, item)
    if why_not(source, item):
        return Line(item.name, group=item.group, note=note)
    tick = source.state.track(step.id).ticks.get(item.item)
    return Line(
        item.name,
        boxes=_boxes(source, step, item),
        group=item.group,
        note=note or _leaves_out(source, step, item) or _ordered(source, step, item),
        words=_words(tick.answer) if tick is not None else "",
        blanks=_label(source, step, item),
    )


def _words(answer: Ticked) -> str:
    """Return what was added to a line: its marks one by one, or words."""
    return marks_words(answer.marks) if answer.marks else answer.words


def _leaves_out(source: Source, step: Step, item: Item) -> str:
    """Return which steps each answer to a choice leaves out."""
    answers = _outcomes(source, step) if isinstance(step, Choose) else ()
    found = ((answer, left_out(source, item.item, answer)) for answer in answers)
    return "; ".join(f"{answer}: {out}" for answer, listed in found for out in listed)


def _ordered(source: Source, step: Step, item: Item) -> str:
    """Return what the order of the job says of a part; empty without an order."""
    order = source.state.opened.order
    if order is None or not (isinstance(step, Do) and step.each == "parts"):
        return ""
    line = for_part(order, item.item)
    if line is None:
        return f"not on the order {order.order}"
    return f"ordered: {line.name} × {line.count}" + (f", code {line.code}" if line.code else "")


def _boxes(source: Source, step: Step, item: Item) -> tuple[Box, ...]:
    tick = source.state.track(step.id).ticks.get(item.item)
    answered = tick.answer.outcome if tick is not None else ""
    # An instrument past its date lies on the bench too; its own line says that it is overdue.
    here = "here" if answered == "overdue for calibration" else answered
    return tuple(Box(word, word == here) for word in _outcomes(source, step))


def _label(source: Source, step: Step, item: Item) -> tuple[Blank, ...]:
    """Return what an instrument is asked for: which one it is, and when its calibration is due."""
    tools = source.procedure.tools if isinstance(step, Do) and step.each == "tools" else ()
    if not any(tool.tool == item.item and tool.instrument for tool in tools):
        return ()
    tick = source.state.track(step.id).ticks.get(item.item)
    if tick is None:
        return (Blank("Which one, by its label"), Blank("Calibration due"))
    due = tick.answer.due or ""
    overdue = f"{due}, overdue" if tick.answer.outcome.startswith("overdue") else due
    return (
        Blank("Which one, by its label", tick.answer.instrument or ""),
        Blank("Calibration due", overdue),
    )


def _columns(lines: tuple[Line, ...]) -> tuple[tuple[Line, ...], ...]:
    """Return `lines` in one column, or in two of one length, headings only where they change."""
    half = len(lines) if len(lines) <= ONE_COLUMN else (len(lines) + 1) // 2
    columns = (lines[:half], lines[half:])
    return tuple(_headed(column) for column in columns if column)


def _headed(column: tuple[Line, ...]) -> tuple[Line, ...]:
    before = ("", *(line.group for line in column))
    return tuple(
        replace(line, group="" if line.group == above else line.group)
        for line, above in zip(column, before, strict=False)
    )
