"""The condition sheet compared: each line as it was before the work, and as it is after."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from baycompanion.job.events.carried import PanelMark
from baycompanion.job.events.kinds import Ticked
from baycompanion.job.state.line_word import KINDS, Word, compare_line
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.panel_marks import MarkCompared
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Inspect, Item
from baycompanion.text.clean import folded


class LineSaid(Protocol):
    """What was said of one line of a sheet: in a job under way, or in the record of one."""

    @property
    def outcome(self) -> str:
        """How it was found, by the word of its answer."""

    @property
    def words(self) -> str:
        """What was said of it."""

    @property
    def marks(self) -> Sequence[PanelMark] | None:
        """Every mark found on it, where it is looked over for marks."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """One line of the sheet, before and after."""

    item: Item
    before: Ticked | None
    now: Ticked
    word: Word
    marks: tuple[MarkCompared, ...] = ()
    """Every mark of a panel whose marks are known before and after."""

    @property
    def never_seen(self) -> bool:
        """Whether nobody could tell how it is, neither before the work nor after it."""
        before = KINDS[self.before.outcome] if self.before is not None else "unknown"
        return before == KINDS[self.now.outcome] == "unknown"

    @property
    def said_differently(self) -> bool:
        """Whether it was ill before and is so now, in other words: only a person can compare."""
        return self.before is not None and said_differently(self.before, self.now)


def said_differently(before: LineSaid, now: LineSaid) -> bool:
    """Return whether a line was ill `before` and `now`, and told of in other words.

    Marks that are known one by one are compared as such, and not by words.
    """
    ill = before.outcome == now.outcome and KINDS.get(now.outcome) == "ill"
    in_words = not (before.marks or now.marks)
    return ill and in_words and folded(before.words) != folded(now.words)


def compare(procedure: Procedure, state: State, step: Inspect) -> tuple[Comparison, ...]:
    """Return every answered line of `step` beside the same line of the sheet it compares with."""
    before = state.track(step.compares).ticks if step.compares else {}
    now = state.track(step.id).ticks
    return tuple(
        _compared(
            item, before[item.item].answer if item.item in before else None, now[item.item].answer
        )
        for item in items_that_apply(procedure, state, step)
        if item.item in now
    )


def _compared(item: Item, before: Ticked | None, now: Ticked) -> Comparison:
    return Comparison(item, before, now, *compare_line(before, now))


HOLDING = ("worse", "unresolved", "not compared")
"""How a line can compare that keeps a gate shut, the gravest first."""


def holding_words(procedure: Procedure, step: Inspect, details: dict[str, str]) -> str:
    """Return the lines that hold a gate, by their words: `worse: Horn; unresolved: Clock`.

    `details` holds the word of each line that is not unchanged.
    """
    named: dict[str, list[str]] = {word: [] for word in HOLDING}
    for item in procedure.items_of(step):
        if details.get(item.item) in HOLDING:
            named[details[item.item]].append(item.name)
    return "; ".join(f"{word}: {', '.join(names)}" for word, names in named.items() if names)
