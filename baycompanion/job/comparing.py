"""Answers held against an earlier one: an entry made again, a count back, a sheet after."""

from typing import Any

from baycompanion.job.actions import Answer
from baycompanion.job.answering import allow, answered, lines_ticked
from baycompanion.job.draft import Draft
from baycompanion.job.events import Answered, Cause, FaultRaised, Weight
from baycompanion.job.sheet import Comparison, compare
from baycompanion.job.tray import balance
from baycompanion.procedure.steps import Count, Inspect, Record


def entered_again(
    draft: Draft, step: Record, action: Answer, listed: list[str], **more: Any
) -> Answered:
    """Return the entry, held against the earlier one it repeats if there is one."""
    if step.repeats is None:
        return answered(step, action, "recorded", "good", **more)
    earlier = draft.state.track(step.repeats).last
    before = _entries(earlier) if earlier is not None and earlier.weight == "good" else []
    same = [folded(entry) for entry in listed] == [folded(entry) for entry in before]
    if same:
        return answered(step, action, "matching", "good", **more)
    at = next(
        (
            place
            for place, pair in enumerate(zip(listed, before, strict=False))
            if folded(pair[0]) != folded(pair[1])
        ),
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


def folded(entry: str) -> str:
    """Return `entry` as two entries are compared: case and white space do not count."""
    return " ".join(entry.casefold().split())


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
    words = {each.word for each in compared}
    for word in ("worse", "unresolved", "not compared"):
        if word in words:
            return word, "neutral"
    return "matching", "good"


def worse_lines(draft: Draft, step: Inspect) -> list[FaultRaised]:
    """Return a fault of the work for each line that is worse than before and has none open."""
    number = len(draft.state.faults)
    raised = {fault.item for fault in draft.state.faults if fault.open and fault.step == step.id}
    cause: Cause = "work"
    return [
        FaultRaised(
            fault=number + place,
            cause=cause,
            words=f"{each.item.name}: {_was(each)} before, {each.now.outcome} now: "
            f"{each.now.words}",
            step=step.id,
            item=each.item.item,
        )
        for place, each in enumerate(
            (
                each
                for each in compare(draft.procedure, draft.state, step)
                if each.word == "worse" and each.item.item not in raised
            ),
            start=1,
        )
    ]


def _was(line: Comparison) -> str:
    """Return how a line was before the work, as the past it is now."""
    outcome = line.before.outcome if line.before is not None else "not looked at"
    return "worked" if outcome == "works" else outcome
