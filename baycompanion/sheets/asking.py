"""What each verb asks for on paper: its boxes, its blanks, and the answers that stand already."""

from collections.abc import Callable
from typing import Any

from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Count,
    Do,
    Inspect,
    Measure,
    Record,
    Step,
    Wait,
)
from baycompanion.sheets.boxes import NEED_REASON, boxes
from baycompanion.sheets.choosing import ask_choose
from baycompanion.sheets.form import Ask, Blank, Box, Source
from baycompanion.sheets.lines import lines_of
from baycompanion.sheets.summing import ask_sum
from baycompanion.sheets.witnessing import ask_witness
from baycompanion.sheets.words import moment
from baycompanion.text.duration import write_duration

BLANK_ENTRIES = 12
"""Lines to write a list on; a list that is longer goes on at its margin."""


DRAW = (
    "Draw each mark where it is and number it. Below: number, kind, longest extent in mm, the "
    "field of the panel, and the photo."
)
"""How marks go on paper so that they can be keyed in one by one."""


def ask(source: Source, step: Step) -> Ask:
    """Return what `step` asks for, and what of it is answered."""
    return _ASKS[step.verb](source, step, source.last(step.id))


def _added(last: Answered | None) -> tuple[str, ...]:
    """Return what a person added to an answer that needs no reason."""
    plain_answer = last is not None and last.outcome not in NEED_REASON and last.words
    return (f"Added: {last.words}",) if last is not None and plain_answer else ()


def _do(source: Source, step: Do, last: Answered | None) -> Ask:
    came = ("Came out: incomplete",) if last is not None and last.outcome == "incomplete" else ()
    return Ask(
        says=(*came, *_added(last)),
        lines=lines_of(source, step),
        boxes=boxes(last, "done", "not done"),
    )


def _check(source: Source, step: Check, last: Answered | None) -> Ask:
    return Ask(
        says=_added(last),
        boxes=boxes(last, "passed", "failed", "not fitted", "could not test"),
        can_be_bad=True,
    )


def _measure(source: Source, step: Measure, last: Answered | None) -> Ask:
    read = last.words if last is not None and last.number is not None else ""
    written = read.removesuffix(step.unit).strip()
    label = last.instrument if last is not None and last.instrument else _staged(source, step)
    limited = step.at_least is not None or step.at_most is not None
    return Ask(
        blanks=(Blank("Reading", written, step.unit), Blank("Instrument", label)),
        boxes=boxes(
            last, *(("inside", "outside") if limited else ()), "not fitted", "could not test"
        ),
        can_be_bad=limited,
    )


def _staged(source: Source, step: Measure) -> str:
    """Return the label of the instrument that was staged for `step`, as far as it is known."""
    for staging in reversed(source.procedure.staging["tools"]):
        tick = source.state.track(staging).ticks.get(step.instrument or "")
        if tick is not None and tick.answer.instrument:
            return tick.answer.instrument
    return ""


def _record(source: Source, step: Record, last: Answered | None) -> Ask:
    if step.private:
        noted = last is not None and last.outcome == "recorded"
        return Ask(
            says=("Never write it on this sheet. Only that it was noted is kept.",),
            boxes=(Box("noted, kept with the keys", noted), *boxes(last, "not done")),
        )
    agreeing = ("matching", "different") if step.repeats else ()
    empty = last is not None and last.entries == []
    none = (Box("none found: the list is empty", empty),) if step.may_be_empty else ()
    return Ask(
        says=_before(source, step),
        blanks=_entries(step, last),
        boxes=(*none, *boxes(last, *agreeing, "not done")),
        can_be_bad=step.repeats is not None,
    )


def _before(source: Source, step: Record) -> tuple[str, ...]:
    """Return what an entry that repeats an earlier one has to agree with."""
    if step.repeats is None:
        return ()
    where = f"Must agree with step {source.procedure.number[step.repeats]}, in the same order"
    earlier = source.last(step.repeats)
    if earlier is None:
        return (f"{where}.",)
    listed = earlier.entries if earlier.entries is not None else [earlier.words]
    return (f"{where}: {' | '.join(listed) or 'an empty list'}",)


def _entries(step: Record, last: Answered | None) -> tuple[Blank, ...]:
    entered = last if last is not None and last.outcome != "not done" else None
    if step.takes in ("list", "stations"):
        listed = list(entered.entries or ()) if entered is not None else [""] * BLANK_ENTRIES
        return tuple(Blank(f"{place}.", entry) for place, entry in enumerate(listed, start=1))
    labels = {"words": "Entry", "number": "Number", "date": "Date, like 2026-11-25"}
    written = entered.words if entered is not None else ""
    return (Blank(labels[step.takes], written, step.unit or "", wide=step.takes == "words"),)


def _count(source: Source, step: Count, last: Answered | None) -> Ask:
    matching = ("matching", "not matching") if step.matches else ()
    must = (
        (f"Must agree with step {source.procedure.number[step.matches]}.",) if step.matches else ()
    )
    return Ask(
        says=(*must, *_added(last)),
        lines=lines_of(source, step),
        boxes=boxes(last, *matching),
        can_be_bad=step.matches is not None,
    )


def _wait(source: Source, step: Wait, last: Answered | None) -> Ask:
    track = source.state.track(step.id)
    lasts = track.wait.seconds if track.wait is not None else step.lasts
    given = track.wait.source if track.wait is not None else step.source
    over = track.attempts[-1].at if last is not None else None
    ends = (_wait_start(source, step), Blank("Over at", moment(source, over)))
    if lasts is None:
        return Ask(
            says=("How long is not known here. Until it is written down, go no further.",),
            blanks=(Blank("Lasts"), Blank("Where that comes from", wide=True), *ends),
            boxes=boxes(last, "over"),
        )
    said = f", from: {given.rstrip('.')}" if given else ""
    return Ask(
        says=(f"Lasts {write_duration(lasts)}{said}. It cannot be shortened.",),
        blanks=ends,
        boxes=boxes(last, "over"),
    )


def _wait_start(source: Source, step: Wait) -> Blank:
    """Return when the wait began, or what begins it."""
    if step.since is None:
        return Blank("Started at", moment(source, source.state.track(step.id).begun_at))
    number = source.procedure.number[step.since]
    began = source.state.track(step.since).finished_at
    return Blank(f"Started with the end of step {number}, at", moment(source, began))


def _inspect(source: Source, step: Inspect, last: Answered | None) -> Ask:
    says: tuple[str, ...] = _added(last)
    if step.compares:
        number = source.procedure.number[step.compares]
        says = (
            f"Look at every line first. Compare with step {number} only after that.",
            "What is worse than before is a fault of our work.",
            *says,
        )
        if last is not None:
            says = (*says, f"Came out: {last.outcome}")
    drawn = any(item.panel is not None for item in source.procedure.items_of(step))
    if drawn:
        says = (*says, DRAW)
    return Ask(says=says, lines=lines_of(source, step), outline=drawn)


def _choose(source: Source, step: Choose, last: Answered | None) -> Ask:
    if step.by_lines:
        return Ask(says=_added(last), lines=lines_of(source, step))
    return ask_choose(source, step, last)


_Asks = Callable[[Source, Any, Answered | None], Ask]
_ASKS: dict[str, _Asks] = {
    "do": _do,
    "check": _check,
    "measure": _measure,
    "record": _record,
    "sum": ask_sum,
    "count": _count,
    "choose": _choose,
    "wait": _wait,
    "inspect": _inspect,
    "witness": ask_witness,
}
