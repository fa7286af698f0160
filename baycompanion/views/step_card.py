"""The card of a step in hand: its cautions first, then what its verb asks for."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any

from baycompanion.job import actions
from baycompanion.job.answers import wait_left
from baycompanion.job.measuring import inside, limits_in_words
from baycompanion.job.moment import whole_milliseconds
from baycompanion.job.order import items_that_apply, standing_now
from baycompanion.job.state import State
from baycompanion.job.ticking import NEED_WORDS, outcomes_of
from baycompanion.procedure.model import Procedure, Standing
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Count,
    Do,
    Inspect,
    Item,
    Measure,
    Record,
    Step,
    Sum,
    Wait,
    Witness,
)
from baycompanion.text.duration import countdown, write_duration
from baycompanion.text.reading import parse_reading
from baycompanion.trade.catalogue import kind_of
from baycompanion.views import forms
from baycompanion.views.card import Again, Card, Deed, Entry, Key, ListEntry, Piece, Row
from baycompanion.views.wording import answer_words, carried, caution_short

MOST_KEYS = 6
"""Keys that a card can show; what has more answers is a list."""


def step_card(procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    """Return the card of `step`, which is the one in hand."""
    unread = _unread(state, step)
    if unread is not None:
        return _caution_card(procedure, step, unread)
    standing = _unasked(procedure, state, step)
    if standing is not None:
        return _standing_card(procedure, step, standing)
    if state.track(step.id).unsettled:
        return _unsettled_card(procedure, state, step)
    return answer_card(procedure, state, step, when)


def heading(procedure: Procedure, step: Step) -> str:
    """Return where `step` stands in the whole."""
    return f"Step {procedure.number[step.id]} of {len(procedure.steps)}"


def answer_card(procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    """Return the card that takes an answer to `step`."""
    card = Card(
        kind="step",
        heading=heading(procedure, step),
        title=step.text,
        before=tuple(caution_short(caution) for caution in step.cautions),
        step=step.id,
    )
    asking = _ASKS[step.verb](card, procedure, state, step, when)
    return replace(asking, pieces=(*asking.pieces, *carried(procedure, step)))


def _unread(state: State, step: Step) -> int | None:
    read = state.track(step.id).acknowledged
    return next(
        (
            place
            for place, caution in enumerate(step.cautions)
            if caution.signal in ("danger", "warning") and place not in read
        ),
        None,
    )


def _caution_card(procedure: Procedure, step: Step, place: int) -> Card:
    caution = step.cautions[place]
    read = actions.Acknowledge(acknowledge=step.id, caution=place)
    return Card(
        kind="caution",
        heading=f"{heading(procedure, step)}: read this first",
        title=f"{caution.signal.upper()}  {caution.hazard}",
        pieces=(
            Piece("plain", caution.consequence),
            Piece(caution.signal, caution.avoid),
            Piece("quiet", f"Then: {step.text}"),
        ),
        keys=(Key("1", "I have read this", Deed(read), enter=True),),
        step=step.id,
    )


def _unasked(procedure: Procedure, state: State, step: Step) -> Standing | None:
    since = state.track(step.id).since_seq
    return next(
        (
            standing
            for standing in standing_now(procedure, state)
            if standing.ends == step.id
            and state.standings.get(standing.standing, (0, True))[0] < since
        ),
        None,
    )


def _standing_card(procedure: Procedure, step: Step, standing: Standing) -> Card:
    held = actions.Confirm(confirm=standing.standing, held=True)
    return Card(
        kind="standing",
        heading=f"{heading(procedure, step)}: before it",
        title=standing.ask,
        pieces=(Piece("label", standing.says), Piece("quiet", f"Then: {step.text}")),
        keys=(
            Key("1", "Yes, it held", Deed(held)),
            Key("2", "No…", forms.standing_form(standing.standing, standing.says)),
        ),
        step=step.id,
    )


def _unsettled_card(procedure: Procedure, state: State, step: Step) -> Card:
    track = state.track(step.id)
    keys = [
        Key("1", "Do it again", Again()),
        Key("2", "Vehicle's fault…", forms.settle_form(step, "vehicle")),
        Key("3", "Fault of our work…", forms.settle_form(step, "work")),
    ]
    if step.back_to and step.back_to in procedure.steps:
        target = procedure.steps[step.back_to]
        back = actions.Reopen(
            reopen=step.back_to, reason=f"{step.text} {answer_words(procedure, step, track)}"[:500]
        )
        keys.append(Key("4", f"Back to {procedure.number[target.id]}", Deed(back)))
    pieces = [Piece("bad", f"It came out: {answer_words(procedure, step, track)}")]
    if isinstance(step, Measure):
        pieces.append(Piece("label", f"Limits: {limits_in_words(step)}"))
    return Card(
        kind="unsettled",
        heading=f"{heading(procedure, step)}: not good yet",
        title=step.text,
        before=tuple(caution_short(caution) for caution in step.cautions),
        pieces=(*pieces, Piece("plain", "The first answer is kept, whatever comes now.")),
        keys=tuple(keys),
        step=step.id,
    )


def _answer(step: Step, **more: Any) -> Deed:
    return Deed(actions.Answer(answer=step.id, **more))


def _ask_do(card: Card, procedure: Procedure, state: State, step: Do, when: datetime) -> Card:
    if step.each:
        return _ask_lines(card, procedure, state, step, when)
    return replace(
        card,
        keys=(
            Key("1", "Done", _answer(step, outcome="done"), enter=True),
            Key("2", "Not done…", forms.reason_form(step, "not done")),
        ),
    )


def _ask_check(card: Card, procedure: Procedure, state: State, step: Check, when: datetime) -> Card:
    return replace(
        card,
        keys=(
            Key("1", "Passed", _answer(step, outcome="passed")),
            Key("2", "Failed", _answer(step, outcome="failed")),
            Key("3", "Not fitted", _answer(step, outcome="not fitted")),
            Key("4", "Could not test…", forms.reason_form(step, "could not test")),
        ),
    )


def _ask_measure(
    card: Card, procedure: Procedure, state: State, step: Measure, when: datetime
) -> Card:
    def says(text: str) -> Piece | None:
        try:
            good = inside(step, parse_reading(text, step.unit).number)
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
        keys=(Key("F7", "Cannot…", forms.cannot_form(step, ("could not test", "not fitted"))),),
    )


def _ask_record(
    card: Card, procedure: Procedure, state: State, step: Record, when: datetime
) -> Card:
    keys = (Key("F7", "Not done…", forms.cannot_form(step, ("not done",))),)
    before: tuple[str, ...] = ()
    if step.repeats:
        earlier = state.track(step.repeats).last
        if earlier is not None:
            before = tuple(earlier.entries or [earlier.words])
    if step.takes == "list":
        entry = ListEntry(
            "One entry at a time; Enter on an empty line saves the list",
            lambda entries: _answer(step, entries=entries),
            before,
        )
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
    named = {each.name: each for each in kind_of(step.of).inputs}
    pieces = []
    for name, value in step.inputs.items():
        label = f"{named[name].description.rstrip('.')}:" if name in named else f"{name}:"
        unit = named[name].unit if name in named else ""
        if isinstance(value, str):
            pieces.append(Piece("plain", f"• {label} {value} {unit}".rstrip()))
            continue
        last = state.track(value.answer).last
        said = (last.number or last.words) if last is not None else "no answer yet"
        place = procedure.number[value.answer]
        pieces.append(Piece("plain", f"• {label} {said} {unit} (step {place})"))
    return replace(
        card,
        pieces=tuple(pieces),
        keys=(
            Key("1", "Work it out", _answer(step), enter=True),
            Key("2", "Could not test…", forms.reason_form(step, "could not test")),
        ),
    )


def _ask_choose(
    card: Card, procedure: Procedure, state: State, step: Choose, when: datetime
) -> Card:
    choice = next(each for each in procedure.choices if each.choice == step.settles)
    answers = [
        (answer.replace("-", " ").capitalize(), _answer(step, value=answer))
        for answer in choice.answers
    ]
    if len(answers) <= MOST_KEYS:
        keys = (Key(str(number), said, deed) for number, (said, deed) in enumerate(answers, 1))
        return replace(card, keys=tuple(keys))
    rows = (Row(said, "·", "", said, keys=(Key("1", "This one", deed),)) for said, deed in answers)
    return replace(card, rows=tuple(rows))


def _ask_wait(card: Card, procedure: Procedure, state: State, step: Wait, when: datetime) -> Card:
    left = seconds_left(state, step, when)
    enter_time = Key("2", "Enter the time for this vehicle…", forms.wait_form(step))
    if left is None:
        said = "Nobody has entered how long. The vehicle maker's instructions say it."
        return replace(card, pieces=(Piece("label", said),), keys=(enter_time,))
    track = state.track(step.id)
    lasts = track.wait.seconds if track.wait else step.lasts or 0
    source = track.wait.source if track.wait else step.source
    said = f"Lasts {write_duration(lasts)}" + (f", from: {source}" if source else "")
    if left > 0:
        pieces = (Piece("warning", f"{countdown(left)} to go"), Piece("plain", said))
        return replace(card, pieces=pieces, keys=(enter_time,))
    over = Key("1", "The wait is over, go on", _answer(step), enter=True)
    return replace(
        card, pieces=(Piece("good", "00:00 – the time is over"), Piece("plain", said)), keys=(over,)
    )


def seconds_left(state: State, step: Wait, when: datetime) -> int | None:
    """Return the seconds that `step` still has to run at `when`; None while not known."""
    passed = max(0, whole_milliseconds(when) - state.last_ms) if state.gap is None else 0
    since = state.track(step.since) if step.since else None
    return wait_left(step, state.clock + passed, state.track(step.id), since)


def _ask_lines(card: Card, procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    items = items_that_apply(procedure, state, step)
    ticks = state.track(step.id).ticks
    rows = tuple(_row(procedure, state, step, item) for item in items)
    open_lines = sum(item.item not in ticks for item in items)
    keys: list[Key] = []
    if open_lines == 0:
        keys.append(Key("0", "Finish this list", _answer(step), enter=True))
    elif isinstance(step, Inspect):
        rest = Deed(actions.TickRest(tick_rest=step.id))
        keys.append(
            Key("9", f"The other {open_lines}: all {outcomes_of(procedure, step)[0]}", rest)
        )
    if isinstance(step, Do):
        keys.append(Key("F7", "Not done…", forms.cannot_form(step, ("not done",))))
    said = f"{len(items) - open_lines} of {len(items)} answered"
    return replace(card, rows=rows, keys=tuple(keys), pieces=(Piece("label", said),))


def _row(procedure: Procedure, state: State, step: Step, item: Item) -> Row:
    tick = state.track(step.id).ticks.get(item.item)
    word = ""
    if tick is not None:
        count = tick.answer.count
        word = str(count) if count is not None else tick.answer.outcome
    good = tick is not None and tick.answer.weight == "good"
    return Row(
        name=item.item,
        sign="·" if tick is None else "✓" if good else "!",
        word=word,
        text=item.name,
        group=item.group,
        keys=tuple(_row_keys(procedure, step, item)),
        entry=_count_entry(state, step, item) if isinstance(step, Count) else None,
        answered=tick is not None,
    )


def _row_keys(procedure: Procedure, step: Step, item: Item) -> list[Key]:
    keys = []
    for number, outcome in enumerate(outcomes_of(procedure, step), start=1):
        does: Any = Deed(actions.TickLine(tick=step.id, item=item.item, outcome=outcome))
        if outcome in NEED_WORDS:
            does = forms.line_form(step, item, outcome)
        if outcome == "here" and _is_instrument(procedure, step, item):
            does = forms.instrument_form(step, item)
        more = "…" if not isinstance(does, Deed) else ""
        keys.append(Key(str(number), f"{outcome.capitalize()}{more}", does))
    return keys


def _is_instrument(procedure: Procedure, step: Step, item: Item) -> bool:
    if not (isinstance(step, Do) and step.each == "tools"):
        return False
    return any(tool.tool == item.item and tool.instrument for tool in procedure.tools)


def _count_entry(state: State, step: Count, item: Item) -> Entry:
    out = state.track(step.matches).ticks.get(item.item) if step.matches else None
    hint = f"{out.answer.count} came off" if out is not None else "how many"

    def make(text: str) -> Deed:
        try:
            number = int(text.strip())
        except ValueError:
            raise ValueError(f"“{text}” is no whole number. Type how many: {item.name}.") from None
        if not 0 <= number <= 9999:
            raise ValueError("Type a number from 0 to 9999.")
        return Deed(actions.TickLine(tick=step.id, item=item.item, count=number))

    return Entry(item.name, make, lambda text: None, hint)


def _ask_witness(
    card: Card, procedure: Procedure, state: State, step: Witness, when: datetime
) -> Card:
    did = [
        f"{procedure.number[name]}. {procedure.steps[name].text} Done by "
        + (", ".join(dict.fromkeys(a.by for a in state.track(name).attempts)) or "nobody yet")
        for name in step.of
        if name in procedure.steps
    ]
    return replace(
        card,
        pieces=(
            Piece("label", "A second person looks, and answers with their own staff id."),
            *(Piece("plain", f"• {line}") for line in did),
        ),
        keys=(
            Key("1", "Passed…", forms.witness_form(step, "passed")),
            Key("2", "Failed…", forms.witness_form(step, "failed")),
        ),
    )


_Ask = Callable[[Card, Procedure, State, Any, datetime], Card]
_ASKS: dict[str, _Ask] = {
    "do": _ask_do,
    "check": _ask_check,
    "measure": _ask_measure,
    "record": _ask_record,
    "sum": _ask_sum,
    "count": _ask_lines,
    "choose": _ask_choose,
    "wait": _ask_wait,
    "inspect": _ask_lines,
    "witness": _ask_witness,
}
