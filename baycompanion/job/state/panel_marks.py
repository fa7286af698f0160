"""Marks on a panel before and after the work: which is the same one, which grew, which is new."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

from baycompanion.job.events.carried import PanelMark

MarkWord = Literal["unchanged", "larger", "smaller", "new", "gone"]

READING_ERROR_MM = 2
"""How far two readings of one mark with a rule may lie apart, in mm: one at either end. Own
choice, no source."""
READING_ERROR_PART = 10
"""A long mark over a curved panel is read worse: to one part in so many. Own choice, no source."""


@dataclass(frozen=True, slots=True)
class MarkCompared:
    """One mark, as it was and as it is; the one that is missing was not there."""

    before: PanelMark | None
    after: PanelMark | None
    word: MarkWord

    @property
    def mark(self) -> PanelMark:
        """The mark as it was seen last."""
        mark = self.after or self.before
        assert mark is not None
        return mark

    @property
    def ours(self) -> bool:
        """Whether it is put down to the work."""
        return self.word in ("new", "larger")


def compare_marks(
    before: Sequence[PanelMark], after: Sequence[PanelMark]
) -> tuple[MarkCompared, ...]:
    """Return every mark of one panel, those seen after first and in their order.

    Two marks are one where kind and field agree. Of several, those of one size are paired first,
    then those nearest in size: so any order gives the same, and one mark more is one new mark.
    """
    partner: dict[int, int] = {}
    for place_after, place_before in _nearest_first(before, after):
        if place_after not in partner and place_before not in partner.values():
            partner[place_after] = place_before
    seen = [
        _compared(before[partner[place]] if place in partner else None, mark)
        for place, mark in enumerate(after)
    ]
    gone = [
        MarkCompared(mark, None, "gone")
        for place, mark in enumerate(before)
        if place not in partner.values()
    ]
    return (*seen, *gone)


def _nearest_first(
    before: Sequence[PanelMark], after: Sequence[PanelMark]
) -> Iterator[tuple[int, int]]:
    """Yield the places of marks, after and before, that may be one, the nearest in size first.

    Of pairs equally near the smaller come first, so that the order of a list decides nothing.
    """
    pairs = []
    for (place_after, now), (place_before, was) in product(enumerate(after), enumerate(before)):
        if (was.mark, was.place) == (now.mark, now.place):
            size_before, size_after = was.size_mm or 0, now.size_mm or 0
            apart = abs(size_after - size_before)
            pairs.append((apart, size_after, size_before, place_after, place_before))
    for *_, place_after, place_before in sorted(pairs):
        yield place_after, place_before


def _compared(before: PanelMark | None, after: PanelMark) -> MarkCompared:
    if before is None:
        return MarkCompared(None, after, "new")
    was, now = before.size_mm, after.size_mm
    if was is None or now is None or abs(now - was) <= reading_error(was):
        return MarkCompared(before, after, "unchanged")
    return MarkCompared(before, after, "larger" if now > was else "smaller")


def reading_error(size_mm: int) -> int:
    """Return by how many mm a mark of `size_mm` may be read otherwise the next time."""
    return max(READING_ERROR_MM, size_mm // READING_ERROR_PART)


def not_told_yet(compared: Iterable[MarkCompared], told: Sequence[PanelMark]) -> list[MarkCompared]:
    """Return the marks of the work that none of the open faults is about, `told` by their marks."""
    ours = [each for each in compared if each.ours]
    known = compare_marks(told, [each.mark for each in ours])
    return [each for each, fault in zip(ours, known, strict=False) if fault.ours]


def mark_words(mark: PanelMark) -> str:
    """Return a mark in words: what it is, how large, where."""
    size = f" {mark.size_mm} mm" if mark.size_mm is not None else ""
    words = f" ({mark.words})" if mark.words else ""
    return f"{mark.mark}{size}, {mark.place}{words}"


def marks_words(marks: Iterable[PanelMark]) -> str:
    """Return several marks in words."""
    return "; ".join(map(mark_words, marks))


def compared_words(each: MarkCompared) -> str:
    """Return a mark in words, with what it was and what became of it."""
    if each.word in ("larger", "smaller") and each.before is not None:
        return f"{mark_words(each.mark)} – {each.word}, was {each.before.size_mm} mm"
    return f"{mark_words(each.mark)} – {each.word}"
