"""The lists of a step that are answered line by line: tools, parts, counts, a condition sheet."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from baycompanion.job import actions
from baycompanion.job.order import items_that_apply
from baycompanion.job.state import State
from baycompanion.job.ticking import NEED_WORDS, outcomes_of
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Count, Do, Inspect, Item, Step
from baycompanion.views import answer_forms
from baycompanion.views.card import Card, Deed, Key, Piece, Row
from baycompanion.views.mark_forms import mark_form
from baycompanion.views.mark_rows import with_marks
from baycompanion.views.tray_rows import tray_keys, tray_rows


def ask_lines(card: Card, procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    """Return `card` with the lines of `step`, and the key that finishes the list."""
    items = items_that_apply(procedure, state, step)
    ticks = state.track(step.id).ticks
    if isinstance(step, Count):
        rows = tray_rows(procedure, state, step)
    else:
        rows = tuple(_row(procedure, state, step, item) for item in items)
    if isinstance(step, Inspect) and procedure.looks_for(step) == "marks":
        rows = with_marks(procedure, state, step, rows)
    open_lines = sum(item.item not in ticks for item in items)
    keys: list[Key] = []
    if open_lines == 0:
        keys.append(Key("0", "Finish this list", Deed(actions.Answer(answer=step.id)), enter=True))
    elif isinstance(step, Inspect):
        rest = Deed(actions.TickRest(tick_rest=step.id))
        keys.append(
            Key("9", f"The other {open_lines}: all {outcomes_of(procedure, step)[0]}", rest)
        )
    if isinstance(step, Do):
        keys.append(Key("F7", "Not done…", answer_forms.cannot_form(step, ("not done",))))
    if isinstance(step, Count):
        keys.extend(tray_keys(step))
    said = f"{len(items) - open_lines} of {len(items)} answered"
    return replace(card, rows=rows, keys=tuple(keys), pieces=(Piece("label", said),))


def _row(procedure: Procedure, state: State, step: Step, item: Item) -> Row:
    tick = state.track(step.id).ticks.get(item.item)
    word = tick.answer.outcome if tick is not None else ""
    good = tick is not None and tick.answer.weight == "good"
    return Row(
        name=item.item,
        sign="·" if tick is None else "✓" if good else "!",
        word=word,
        text=item.name,
        group=item.group,
        keys=tuple(_row_keys(procedure, state, step, item)),
        answered=tick is not None,
    )


def _row_keys(procedure: Procedure, state: State, step: Step, item: Item) -> list[Key]:
    keys = []
    for number, outcome in enumerate(outcomes_of(procedure, step), start=1):
        does: Any = Deed(actions.TickLine(tick=step.id, item=item.item, outcome=outcome))
        if outcome in NEED_WORDS:
            does = answer_forms.line_form(step, item, outcome)
        if outcome == "marked" and isinstance(step, Inspect):
            does = mark_form(state, step, item)
        if outcome == "here" and _is_instrument(procedure, step, item):
            does = answer_forms.instrument_form(step, item)
        more = "…" if not isinstance(does, Deed) else ""
        keys.append(Key(str(number), f"{outcome.capitalize()}{more}", does))
    return keys


def _is_instrument(procedure: Procedure, step: Step, item: Item) -> bool:
    if not (isinstance(step, Do) and step.each == "tools"):
        return False
    return any(tool.tool == item.item and tool.instrument for tool in procedure.tools)
