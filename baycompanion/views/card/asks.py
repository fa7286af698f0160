"""What each verb asks for: the keys that answer it, and the field or the lines it fills."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any

from baycompanion.job import actions
from baycompanion.job.deciding.measuring import limits_in_words
from baycompanion.job.events.kinds import Answered
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.state import State
from baycompanion.job.state.words import reading_words
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Do,
    Measure,
    Record,
    Step,
    Sum,
)
from baycompanion.text.reading import parse_reading
from baycompanion.views import earlier
from baycompanion.views.card.card import MOST_KEYS, Card, Deed, Entry, Key, ListEntry, Piece, Row
from baycompanion.views.card.line_rows import ask_lines
from baycompanion.views.card.second_person import ask_witness
from baycompanion.views.card.stations import of_stations
from baycompanion.views.card.waiting import ask_wait
from baycompanion.views.forms import answer_forms
from baycompanion.views.forms.circuit_forms import borrow_keys

TAKE_A_PLAN = "Take a splice plan first (F9), and each lead is ticked by itself."


def _answer(step: Step, **more: Any) -> Deed:
    return Deed(actions.Answer(answer=step.id, **more))


def _ask_do(card: Card, procedure: Procedure, state: State, step: Do, when: datetime) -> Card:
    if items_that_apply(procedure, state, step):
        lines = ask_lines(card, procedure, state, step, when)
        return replace(lines, keys=(*lines.keys, *borrow_keys(step)))
    unplanned = state.plan is None and step.each in ("joins", "left-over")
    no_lines = earlier.no_lines(procedure, state, step)
    said = Piece("label", TAKE_A_PLAN, "F9") if unplanned else Piece("label", no_lines)
    return replace(
        card,
        pieces=(said,) if said.words else (),
        keys=(
            Key("1", "Done", _answer(step, outcome="done"), enter=True),
            Key("2", "Not done…", answer_forms.reason_form(step, "not done")),
            *borrow_keys(step),
        ),
    )


def _ask_check(card: Card, procedure: Procedure, state: State, step: Check, when: datetime) -> Card:
    return replace(
        card,
        keys=(
            Key("1", "Passed", _answer(step, outcome="passed")),
            Key("2", "Failed", _answer(step, outcome="failed")),
            Key("3", "Not fitted", _answer(step, outcome="not fitted")),
            Key("4", "Could not test…", answer_forms.reason_form(step, "could not test")),
        ),
    )


def _ask_measure(
    card: Card, procedure: Procedure, state: State, step: Measure, when: datetime
) -> Card:
    def says(text: str) -> Piece | None:
        try:
            good = step.is_inside(parse_reading(text, step.unit).number)
        except ValueError as error:
            return Piece("quiet", f"{error}.") if text.strip() else None
        word = "inside" if good else "OUTSIDE"
        return Piece("good" if good else "bad", f"{word}: {limits_in_words(step)}")

    return replace(
        card,
        entry=Entry(
            label=f"Reading in {step.unit}",
            make=lambda text: _answer(step, value=text),
            says=says,
            hint=limits_in_words(step),
        ),
        keys=(
            Key("F7", "Cannot…", answer_forms.cannot_form(step, ("could not test", "not fitted"))),
        ),
    )


def _ask_record(
    card: Card, procedure: Procedure, state: State, step: Record, when: datetime
) -> Card:
    keys = (Key("F7", "Not done…", answer_forms.cannot_form(step, ("not done",))),)
    before: tuple[str, ...] = ()
    if step.repeats:
        earlier = state.track(step.repeats).last
        if earlier is not None:
            listed = earlier.entries
            before = tuple(listed) if listed is not None else (earlier.words,)
    if step.takes in ("list", "stations"):
        entry = ListEntry(
            "One entry at a time; on an empty line Enter saves, Backspace takes back",
            lambda entries: _answer(step, entries=entries),
            before,
        )
        if step.takes == "stations":
            entry = of_stations(entry, state.figures.get("region", ""))
        return replace(card, list_entry=entry, keys=keys)
    hints = {"date": "like 2026-11-25", "number": step.unit or "a number", "words": ""}
    labels = {"date": "Date", "number": f"Number{f' in {step.unit}' if step.unit else ''}"}
    private = " (only that it was noted is kept)" if step.private else ""
    pieces = [Piece("label", f"Before: {entry}") for entry in before]
    return replace(
        card,
        pieces=tuple(pieces),
        entry=Entry(
            label=labels.get(step.takes, "Write it down") + private,
            make=lambda text: _answer(step, value=text),
            says=lambda text: None,
            hint=hints[step.takes],
        ),
        keys=keys,
    )


def _ask_sum(card: Card, procedure: Procedure, state: State, step: Sum, when: datetime) -> Card:
    from baycompanion.trade.catalogue import kind_of  # with every sum, and only here

    named = {each.name: each for each in kind_of(step.of).inputs}
    pieces = []
    for name, value in step.inputs.items():
        label = f"{named[name].description.rstrip('.')}:" if name in named else f"{name}:"
        unit = named[name].unit if name in named else ""
        if isinstance(value, str):
            pieces.append(Piece("plain", f"• {label} {value} {unit}".rstrip()))
            continue
        said = _earlier(state.track(value.answer).last, unit)
        place = procedure.number[value.answer]
        pieces.append(Piece("plain", f"• {label} {said} (step {place})"))
    return replace(
        card,
        pieces=tuple(pieces),
        keys=(
            Key("1", "Work it out", _answer(step), enter=True),
            Key("2", "Could not test…", answer_forms.reason_form(step, "could not test")),
        ),
    )


def _earlier(answer: Answered | None, unit: str) -> str:
    """Return an earlier answer as the sum takes it: in its own unit, or else in `unit`."""
    if answer is None:
        return "no answer yet"
    return reading_words(answer) if answer.unit else f"{answer.words} {unit}".rstrip()


def _ask_choose(
    card: Card, procedure: Procedure, state: State, step: Choose, when: datetime
) -> Card:
    if step.by_lines:
        return ask_lines(card, procedure, state, step, when)
    [choice] = procedure.settled_by(step)
    answers = [
        (answer.replace("-", " ").capitalize(), _answer(step, value=answer))
        for answer in choice.answers
    ]
    if len(answers) <= MOST_KEYS:
        keys = (Key(str(number), said, deed) for number, (said, deed) in enumerate(answers, 1))
        return replace(card, keys=tuple(keys))
    rows = (Row(said, "·", "", said, keys=(Key("1", "This one", deed),)) for said, deed in answers)
    return replace(card, rows=tuple(rows))


_Ask = Callable[[Card, Procedure, State, Any, datetime], Card]
ASKS: dict[str, _Ask] = {
    "do": _ask_do,
    "check": _ask_check,
    "measure": _ask_measure,
    "record": _ask_record,
    "sum": _ask_sum,
    "count": ask_lines,
    "choose": _ask_choose,
    "wait": ask_wait,
    "inspect": ask_lines,
    "witness": ask_witness,
}
"""By the verb of a step, what makes its card ask."""
