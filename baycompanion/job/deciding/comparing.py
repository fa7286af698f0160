"""Answers held against an earlier one: an entry made again, a count back, a sheet after."""

from typing import Any

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.answering import allow, answered, lines_ticked
from baycompanion.job.deciding.draft import Draft
from baycompanion.job.events.carried import PanelMark
from baycompanion.job.events.kinds import (
    Answered,
    Cause,
    FaultRaised,
    Weight,
)
from baycompanion.job.state.panel_marks import MarkCompared, mark_words, marks_words, not_told_yet
from baycompanion.job.state.sheet import Comparison, compare
from baycompanion.job.state.tray import balance
from baycompanion.procedure.steps import Count, Inspect, Record
from baycompanion.text.clean import folded
from baycompanion.trade.stations import same_station


def entered_again(
    draft: Draft, step: Record, action: Answer, listed: list[str], **more: Any
) -> Answered:
    """Return the entry, held against the earlier one it repeats if there is one."""
    if step.repeats is None:
        return answered(step, action, "recorded", "good", **more)
    earlier = draft.state.track(step.repeats).last
    before = _entries(earlier) if earlier is not None and earlier.weight == "good" else []
    agree = same_station if step.takes == "stations" else _same_entry
    if len(listed) == len(before) and all(map(agree, listed, before)):
        return answered(step, action, "matching", "good", **more)
    at = next(
        (place for place, pair in enumerate(zip(listed, before, strict=False)) if not agree(*pair)),
        min(len(listed), len(before)),
    )
    details = {
        "line": str(at + 1),
        "before": before[at] if at < len(before) else "nothing",
        "now": listed[at] if at < len(listed) else "nothing",
    }
    return answered(step, action, "different", "bad", details=details, **more)


def _entries(answer: Answered) -> list[str]:
    """Return what was entered, line by line; an empty list is an entry too."""
    return answer.entries if answer.entries is not None else [answer.words]


def _same_entry(one: str, other: str) -> bool:
    return folded(one) == folded(other)


def counted(draft: Draft, step: Count, action: Answer) -> Answered:
    """Return what was counted, held against the count out if there was one."""
    allow(step, action)
    lines_ticked(draft, step)
    if step.matches is None:
        return answered(step, action, "counted", "good")
    lines = balance(draft.procedure, draft.state, step)
    wrong = {line.item: str(line) for line in lines if line.left}
    if wrong:
        return answered(step, action, "not matching", "bad", details=wrong)
    exchanged = {line.item: str(line) for line in lines if line.exchanged}
    return answered(step, action, "matching", "good", details=exchanged or None)


def inspected(draft: Draft, step: Inspect, action: Answer) -> Answered:
    """Return how the sheet came out, line by line against the one before the work."""
    allow(step, action)
    lines_ticked(draft, step)
    if step.compares is None:
        return answered(step, action, "inspected", "good")
    compared = compare(draft.procedure, draft.state, step)
    details = {each.item.item: each.word for each in compared if each.word != "unchanged"}
    return answered(step, action, *_sheet_outcome(compared), details=details)


def _sheet_outcome(compared: tuple[Comparison, ...]) -> tuple[str, Weight]:
    """Return how the whole sheet came out.

    What nobody could test, before or after, holds nothing, since nothing known was lost; but the
    sheet is not called matching for it.
    """
    words = {each.word for each in compared if not each.never_seen}
    for word in ("worse", "unresolved", "not compared"):
        if word in words:
            return word, "neutral"
    never = sum(each.never_seen for each in compared)
    return (f"{never} of {len(compared)} not compared" if never else "matching"), "good"


def worse_lines(draft: Draft, step: Inspect) -> list[FaultRaised]:
    """Return a fault of the work for each line that is worse than before and has none open.

    Of a panel whose marks are known, each mark that is new or larger has a fault of its own.
    """
    number = len(draft.state.faults)
    cause: Cause = "work"
    said = [
        (each.item.item, *words)
        for each in compare(draft.procedure, draft.state, step)
        if each.word == "worse"
        for words in _worse(draft, step, each)
    ]
    return [
        FaultRaised(
            fault=number + place, cause=cause, words=words, step=step.id, item=item, mark=mark
        )
        for place, (item, words, mark) in enumerate(said, start=1)
    ]


def _worse(draft: Draft, step: Inspect, line: Comparison) -> list[tuple[str, PanelMark | None]]:
    """Return what is worse on one line and no open fault tells of yet, with the mark if any."""
    told = [
        fault.mark
        for fault in draft.state.faults
        if fault.open and fault.step == step.id and fault.item == line.item.item
    ]
    if line.marks:
        marks = not_told_yet(line.marks, [mark for mark in told if mark is not None])
        return [(_mark_found(line, each), each.mark) for each in marks]
    if told:
        return []
    words = f"{line.item.name}: {_was(line)} before, {line.now.outcome} now: {line.now.words}"
    return [(words, None)]


def _mark_found(line: Comparison, found: MarkCompared) -> str:
    """Return the words of a fault: the panel, the mark, and what stood there before."""
    if found.before is not None:
        stood = f"before it was {mark_words(found.before)}"
    else:
        before = line.before.marks if line.before is not None else None
        stood = f"before there was {marks_words(before)}" if before else "before it was unmarked"
    return f"{line.item.name}: {found.word} mark, {mark_words(found.mark)}; {stood}"


def _was(line: Comparison) -> str:
    """Return how a line was before the work, as the past it is now."""
    outcome = line.before.outcome if line.before is not None else "not looked at"
    return "worked" if outcome == "works" else outcome
