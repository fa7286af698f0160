"""A timeline in lines of text: each phase with its stretches, each mark with its words."""

from collections.abc import Iterator
from datetime import tzinfo

from baycompanion.job.events.moment import moment_of, write_moment
from baycompanion.job.timeline.values import Sort, Stretch, Timeline
from baycompanion.procedure.model import Procedure
from baycompanion.views.timeline.drawing import (
    BARS,
    bars_legend,
    draw,
    marks_legend,
    row_titles,
    signs_of,
)
from baycompanion.views.timeline.told import told
from baycompanion.views.timeline.words import MarkWords, length_words, one_day, time_words

SORTS: dict[Sort, str] = {
    "worked": "worked",
    "paused": "paused",
    "unaccounted": "not accounted for",
}


def drawn_lines(
    procedure: Procedure, timeline: Timeline, width: int, zone: tzinfo | None
) -> Iterator[str]:
    """Yield the drawing, and what its bars and signs mean."""
    yield from draw(procedure, timeline, width, zone).lines
    yield bars_legend(timeline)
    yield marks_legend(timeline)


def told_lines(procedure: Procedure, timeline: Timeline, zone: tzinfo | None) -> Iterator[str]:
    """Yield the phases and the marks for who hears them: signs say nothing there."""
    yield from phase_lines(procedure, timeline, zone)
    for _, line, more in mark_lines(procedure, timeline, zone):
        yield line
        yield from (f"     {words}" for words in more)


def phase_lines(procedure: Procedure, timeline: Timeline, zone: tzinfo | None) -> Iterator[str]:
    """Yield a line for each phase: how long it took, and from when to when."""
    days = not one_day(timeline, zone)
    for phase, title in row_titles(procedure, timeline).items():
        stretches = timeline.of_phase(phase)
        if stretches:
            yield f"{title}: {_took(timeline, stretches, zone, days)}."


def _took(
    timeline: Timeline, stretches: tuple[Stretch, ...], zone: tzinfo | None, days: bool
) -> str:
    """Return how long it was of each sort, and the stretches of it."""
    totals = list(_totals(stretches))
    spans = [_span(timeline, each, zone, days) for each in stretches]
    if len(totals) == 1:
        return f"{totals[0]}, {'; '.join(spans)}"
    named = (f"{SORTS[each.sort]} {span}" for each, span in zip(stretches, spans, strict=True))
    return f"{', '.join(totals)}: {'; '.join(named)}"


def _totals(stretches: tuple[Stretch, ...]) -> Iterator[str]:
    """Yield how long it was of each sort, as the record has it."""
    for sort in BARS:
        lengths = [each.length for each in stretches if each.sort == sort]
        if lengths:
            yield f"{length_words(sum(lengths))} {SORTS[sort]}"


def _span(timeline: Timeline, each: Stretch, zone: tzinfo | None, days: bool) -> str:
    """Return from when to when a stretch was; the day of its end only where it is another one."""
    begins = write_moment(moment_of(timeline.wall(each.begins)))
    ends = write_moment(moment_of(timeline.wall_before(each.ends)))
    same = time_words(begins, zone, True)[:10] == time_words(ends, zone, True)[:10]
    return f"{time_words(begins, zone, days)} to {time_words(ends, zone, days and not same)}"


def mark_lines(
    procedure: Procedure, timeline: Timeline, zone: tzinfo | None
) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Yield each mark in order of time: its sign, its line, and the words that were given.

    A gate that opened by its condition has no more to say than its line.
    """
    words = MarkWords(procedure, timeline, zone, not one_day(timeline, zone))
    for sign, mark in zip(signs_of(timeline), timeline.marks, strict=True):
        line = f"{words.time(mark)}  {words.head(mark)} · {words.source(mark)}"
        yield sign, line, () if mark.what == "gate opened" else tuple(told(words, mark))
