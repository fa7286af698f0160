"""The lists of a step that are answered line by line: tools, parts, counts, a condition sheet."""

from dataclasses import replace
from datetime import datetime
from typing import Any

from baycompanion.job import actions
from baycompanion.job.deciding.ticking import NEED_WORDS, line_outcomes
from baycompanion.job.events.kinds import Ticked
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Choose, Count, Do, Inspect, Item, Step
from baycompanion.views.card.card import Card, Deed, Key, Piece, Row
from baycompanion.views.card.many_lines import group_keys, held_against, rest_keys
from baycompanion.views.card.mark_rows import with_marks
from baycompanion.views.card.parts import code_entry, code_keys, off_order, parts_pieces, pause_key
from baycompanion.views.card.tray_rows import tray_keys, tray_rows
from baycompanion.views.earlier import when_it_left
from baycompanion.views.forms import answer_forms
from baycompanion.views.forms.mark_forms import mark_form


def ask_lines(card: Card, procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    """Return `card` with the lines of `step`, and the key that finishes the list."""
    items = items_that_apply(procedure, state, step)
    ticks = state.track(step.id).ticks
    left = [item for item in items if item.item not in ticks]
    if isinstance(step, Count):
        rows = tray_rows(procedure, state, step)
    else:
        held, of_group = held_against(procedure, state, step), group_keys(procedure, step, left)
        rows = tuple(
            _row(
                procedure, state, step, item, held.get(item.item, ""), of_group.get(item.group, ())
            )
            for item in items
        )
    if isinstance(step, Inspect) and procedure.looks_for(step) == "marks":
        rows = with_marks(procedure, state, step, rows)
    keys: list[Key] = []
    if not left:
        keys.append(Key("0", "Finish list", Deed(actions.Answer(answer=step.id)), enter=True))
    else:
        keys.extend(rest_keys(procedure, step, len(left)))
    if isinstance(step, Do):
        cannot = Key("F7", "Not done…", answer_forms.cannot_form(step, ("not done",)))
        keys.append(pause_key(procedure, state, step) or cannot)
    if isinstance(step, Count):
        keys.extend(tray_keys(step))
    said = f"{len(items) - len(left)} of {len(items)} answered"
    pieces = (Piece("label", said), *parts_pieces(procedure, state, step))
    return replace(card, rows=rows, keys=tuple(keys), pieces=pieces)


def _row(
    procedure: Procedure, state: State, step: Step, item: Item, held: str, of_group: tuple[Key, ...]
) -> Row:
    tick = state.track(step.id).ticks.get(item.item)
    word = ""
    if tick is not None:
        word = tick.answer.outcome
        if isinstance(step, Do) and tick.answer.count is not None and tick.answer.words:
            said = tick.answer.words  # so many of all of them
            word = said if word in ("here", "missing") else f"{word}: {said}"
        word += held
        word += when_it_left(state, step, item) if isinstance(step, Inspect) else ""
    good = tick is not None and tick.answer.weight == "good"
    keys = (
        *_row_keys(procedure, state, step, item),
        *of_group,
        *code_keys(state, step, item),
    )
    return Row(
        name=item.item,
        sign="·" if tick is None else "✓" if good else "!",
        word=word,
        text=item.name + off_order(state, step, item),
        group=item.group,
        keys=keys,
        entry=code_entry(procedure, state, step, keys),
        answered=tick is not None,
        by_enter=not isinstance(step, Inspect | Choose),
        says_more=tick is not None and _says_more(step, tick.answer),
    )


def _says_more(step: Step, answer: Ticked) -> bool:
    """Return whether what is said of a line is more than what was answered to it."""
    compares = isinstance(step, Inspect) and step.compares is not None
    return compares or answer.outcome == "overdue for calibration"


def _row_keys(procedure: Procedure, state: State, step: Step, item: Item) -> list[Key]:
    keys = []
    for number, outcome in enumerate(line_outcomes(procedure, step, item.item), start=1):
        does: Any = Deed(_ticked(step, item, outcome))
        if outcome in NEED_WORDS:
            does = answer_forms.line_form(step, item, outcome)
        if outcome == "marked" and isinstance(step, Inspect):
            does = mark_form(state, step, item)
        if outcome == "here" and _is_instrument(procedure, step, item):
            does = answer_forms.instrument_form(step, item)
        more = "…" if not isinstance(does, Deed) else ""
        keys.append(Key(str(number), f"{outcome.capitalize()}{more}", does))
    return keys


def _ticked(step: Step, item: Item, outcome: str) -> actions.TickLine:
    """Return the action that answers one line, a choice with its answer."""
    if isinstance(step, Choose):
        return actions.TickLine(tick=step.id, item=item.item, value=outcome)
    return actions.TickLine.model_validate({"tick": step.id, "item": item.item, "outcome": outcome})


def _is_instrument(procedure: Procedure, step: Step, item: Item) -> bool:
    if not (isinstance(step, Do) and step.each == "tools"):
        return False
    return any(tool.tool == item.item and tool.instrument for tool in procedure.tools)
