"""How one line of a condition sheet compares with the same line seen earlier."""

from collections.abc import Iterable, Sequence
from typing import Literal, Protocol

from baycompanion.job.events.carried import PanelMark
from baycompanion.job.state.panel_marks import MarkCompared, compare_marks

Word = Literal["unchanged", "better", "worse", "unresolved", "not compared"]

KINDS = {
    "works": "well",
    "unmarked": "well",
    "faulty": "ill",
    "marked": "ill",
    "not fitted": "absent",
    "could not test": "unknown",
    "could not see": "unknown",
}
"""What each answer to a line comes to."""


class Seen(Protocol):
    """A line as it was answered, with every mark on it where it is looked over for marks."""

    @property
    def outcome(self) -> str: ...  # noqa: D102

    @property
    def marks(self) -> Sequence[PanelMark] | None: ...  # noqa: D102


def compare_line(before: Seen | None, now: Seen) -> tuple[Word, tuple[MarkCompared, ...]]:
    """Return how a line compares, and every mark of a panel whose marks are known both times."""
    word = _word(KINDS[before.outcome] if before else "unknown", KINDS[now.outcome])
    if before is None or word == "unresolved" or not (before.marks or now.marks):
        return word, ()
    marks = compare_marks(before.marks or (), now.marks or ())
    if before.outcome == now.outcome == "marked":
        word = _word_of_marks(marks) if before.marks and now.marks else "unresolved"
    return word, marks if word in _COMPARED else ()


_COMPARED = ("unchanged", "better", "worse")


def _word(before: str, now: str) -> Word:
    """Return how one line compares.

    What could not be tested before and is faulty after is not put down to the vehicle: it stays
    unresolved. What cannot be tested after was not compared, whatever it was before: two times
    not known is no sign that it is the same.
    """
    if now == "well":
        return "unchanged" if before == "well" else "better"
    if now == "ill":
        words: dict[str, Word] = {"well": "worse", "ill": "unchanged"}
        return words.get(before, "unresolved")
    return "unchanged" if before == now == "absent" else "not compared"


def _word_of_marks(marks: Iterable[MarkCompared]) -> Word:
    """Return how a panel compares whose marks are known one by one."""
    if any(each.ours for each in marks):
        return "worse"
    return "unchanged" if all(each.word == "unchanged" for each in marks) else "better"
