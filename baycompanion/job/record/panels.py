"""The panels in the job record: each as it was before the work and after, mark by mark."""

from baycompanion.job.events.kinds import Ticked
from baycompanion.job.record.vehicle import MarkRecord, PanelRecord
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.panel_marks import MarkCompared
from baycompanion.job.state.sheet import Comparison, compare
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Inspect, Item


def panel_records(procedure: Procedure, state: State) -> list[PanelRecord]:
    """Return each line that was looked over for marks, in the order of the lists."""
    return [
        record
        for step in procedure.steps.values()
        if isinstance(step, Inspect) and step.looks_for == "marks" and step.compares is None
        for record in _records(procedure, state, step)
    ]


def _records(procedure: Procedure, state: State, before: Inspect) -> list[PanelRecord]:
    after = next(
        (
            each
            for each in reversed(procedure.steps.values())
            if isinstance(each, Inspect) and each.compares == before.id
            if state.track(each.id).ticks
        ),
        None,
    )
    compared = compare(procedure, state, after) if after is not None else ()
    lines = {each.item.item: each for each in compared}
    ticks = state.track(before.id).ticks
    return [
        _record(item, ticks[item.item].answer if item.item in ticks else None, lines)
        for item in items_that_apply(procedure, state, before)
        if item.item in ticks or item.item in lines
    ]


def _record(item: Item, was: Ticked | None, lines: dict[str, Comparison]) -> PanelRecord:
    line = lines.get(item.item)
    now = line.now if line is not None else None
    return PanelRecord(
        item=item.item,
        name=item.name,
        group=item.group,
        panel=item.panel,
        before=was.outcome if was is not None else None,
        before_words=was.words if was is not None else "",
        after=now.outcome if now is not None else None,
        after_words=now.words if now is not None else "",
        word=line.word if line is not None else None,
        marks=[_mark(each) for each in line.marks] if line and line.marks else _alone(was, now),
    )


def _mark(each: MarkCompared) -> MarkRecord:
    return MarkRecord(before=each.before, after=each.after, word=each.word)


def _alone(was: Ticked | None, now: Ticked | None) -> list[MarkRecord]:
    """Return marks that nothing could be compared with, before or after."""
    before = [MarkRecord(before=mark, after=None, word=None) for mark in (was and was.marks) or ()]
    after = [MarkRecord(before=None, after=mark, word=None) for mark in (now and now.marks) or ()]
    return [*before, *after]
