"""The condition sheet compared: each line as it was before the work, and as it is after."""

from dataclasses import dataclass
from typing import Literal

from baycompanion.job.events import Ticked
from baycompanion.job.order import items_that_apply
from baycompanion.job.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Inspect, Item

Word = Literal["unchanged", "better", "worse", "unresolved", "not compared"]


@dataclass(frozen=True, slots=True)
class Comparison:
    """One line of the sheet, before and after."""

    item: Item
    before: Ticked | None
    now: Ticked
    word: Word


def compare(procedure: Procedure, state: State, step: Inspect) -> tuple[Comparison, ...]:
    """Return every answered line of `step` beside the same line of the sheet it compares with."""
    before = state.track(step.compares).ticks if step.compares else {}
    now = state.track(step.id).ticks
    return tuple(
        _compare(
            item, before[item.item].answer if item.item in before else None, now[item.item].answer
        )
        for item in items_that_apply(procedure, state, step)
        if item.item in now
    )


def _compare(item: Item, before: Ticked | None, now: Ticked) -> Comparison:
    return Comparison(
        item, before, now, _word(before.outcome if before else "could not test", now.outcome)
    )


def _word(before: str, now: str) -> Word:
    """Return how one line compares.

    What could not be tested before and is faulty after is not put down to the vehicle: it stays
    unresolved. What worked before and cannot be tested after was not compared.
    """
    if now == "works":
        return "unchanged" if before == "works" else "better"
    if now == "faulty":
        words: dict[str, Word] = {"works": "worse", "faulty": "unchanged"}
        return words.get(before, "unresolved")
    if now == "not fitted" and before == "not fitted":
        return "unchanged"
    return "unchanged" if before == now == "could not test" else "not compared"
