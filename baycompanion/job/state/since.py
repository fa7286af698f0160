"""What is worse on a vehicle that came back than it was when the earlier job was left."""

from dataclasses import dataclass

from baycompanion.job.events.carried import EarlierJob, EarlierLine
from baycompanion.job.events.kinds import Ticked
from baycompanion.job.state.line_word import KINDS, Word, compare_line
from baycompanion.job.state.panel_marks import mark_words, marks_words
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Inspect, Item

MOST_WORDS = 200
"""Characters of what somebody wrote that a line about it takes over. Own choice."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A line of the condition sheet that is worse than the earlier job left it."""

    item: Item
    """The line about it: its name, what it was, what it is now."""
    step: str
    """The step of the sheet that it was found at."""
    word: Word


def differences(procedure: Procedure, state: State) -> tuple[Difference, ...]:
    """Return every line of the condition sheet that is worse than the earlier job left it.

    A line that could not be tested then and is faulty now is one of them: nobody knows since when.
    Without an earlier job there are none.
    """
    earlier = state.opened.earlier
    if earlier is None:
        return ()
    found = [
        difference
        for step in procedure.steps.values()
        if isinstance(step, Inspect) and step.compares is None
        for item in procedure.items_of(step)
        if (tick := state.track(step.id).ticks.get(item.item)) is not None
        if (difference := _difference(earlier, step, item, tick.answer)) is not None
    ]
    names = [each.item.item for each in found]
    return tuple(each if names.count(each.item.item) == 1 else _apart(each) for each in found)


def _apart(difference: Difference) -> Difference:
    """Return a difference under a name of its own, where two sheets call a line the same."""
    item = difference.item.model_copy(update={"item": f"{difference.step}-{difference.item.item}"})
    return Difference(item, difference.step, difference.word)


def as_it_was(earlier: EarlierJob, item: Item) -> EarlierLine | None:
    """Return the line of the earlier sheet that `item` is; a newer revision may name it anew."""
    same = [line for line in earlier.lines if line.item == item.item]
    exact = [line for line in same if line.name == item.name]
    return exact[0] if exact else same[0] if len(same) == 1 else None


def _difference(earlier: EarlierJob, step: Inspect, item: Item, now: Ticked) -> Difference | None:
    before = as_it_was(earlier, item)
    if before is None or before.outcome not in KINDS:
        return None
    word, marks = compare_line(before, now)
    if word not in ("worse", "unresolved"):
        return None
    ours = [each for each in marks if each.ours]
    told = "; ".join(f"{each.word} {mark_words(each.mark)}" for each in ours)
    is_now = told or f"{now.outcome} now{_said(now)}"
    line = Item(item=item.item, name=f"{item.name}: {was(before)} when it left; {is_now}"[:500])
    return Difference(line, step.id, word)


def was(line: EarlierLine) -> str:
    """Return how a line was when the earlier job was left."""
    word = "worked" if line.outcome == "works" else line.outcome
    return f"{word}{_said(line)}"


def _said(line: EarlierLine | Ticked) -> str:
    words = marks_words(line.marks) if line.marks else cut(line.words)
    return f" ({words})" if words else ""


def cut(words: str) -> str:
    """Return `words`, cut off where somebody wrote a whole page."""
    return words if len(words) <= MOST_WORDS else f"{words[: MOST_WORDS - 1]}…"
