"""Answering a step line by line: tools, parts, counts, and the condition sheet."""

from typing import Any

from baycompanion.job.actions import TickLine, TickRest
from baycompanion.job.deciding.counting import count_line
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.deciding.late import happened
from baycompanion.job.deciding.marking import marks_now
from baycompanion.job.events.kinds import Answered, Ticked, Weight
from baycompanion.job.events.moment import day_of
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.parts_order import for_part, labels_read
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Choose, Count, Do, Inspect, Item, Step
from baycompanion.text.problem import quoted

REST = "no"
"""What the choices not answered yet are settled as together."""

OUR_WORK, ELSEWHERE = "from our work", "from elsewhere"
"""Where a difference from an earlier job comes from."""

_OUTCOMES = {
    "staged": ("here", "missing", "wrong", "damaged"),
    "listed": ("done", "not done"),
    "traced": (OUR_WORK, ELSEWHERE, "could not tell"),
    "function": ("works", "faulty", "not fitted", "could not test"),
    "marks": ("unmarked", "marked", "not fitted", "could not see"),
}
_GOOD = ("here", "done", "works", "unmarked", OUR_WORK, ELSEWHERE)
NEED_WORDS = (
    *("faulty", "marked", "could not test", "could not see", "not done"),
    *_OUTCOMES["traced"],
)
"""Answers to a line that say nothing without a few words."""


def outcomes_of(procedure: Procedure, step: Step) -> tuple[str, ...]:
    """Return the answers that a line of `step` can have; none for a count, which takes a number."""
    if isinstance(step, Inspect):
        return _OUTCOMES[procedure.looks_for(step)]
    if isinstance(step, Do) and step.each in ("tools", "parts"):
        return _OUTCOMES["staged"]
    if isinstance(step, Do) and step.each == "differences":
        return _OUTCOMES["traced"]
    return _OUTCOMES["listed"] if isinstance(step, Do) and step.each else ()


def line_outcomes(procedure: Procedure, step: Step, item: str) -> tuple[str, ...]:
    """Return the answers that the line `item` of `step` can have: those to a choice are its own."""
    if isinstance(step, Choose):
        return next(each.answers for each in procedure.choices if each.choice == item)
    return outcomes_of(procedure, step)


def tick_line(draft: Draft, action: TickLine) -> None:
    """Answer one line; tools and parts can be ticked again later, when they have turned up."""
    step = step_to_tick(draft, action.tick)
    item = _item(draft, step, action.item)
    if isinstance(step, Count):
        ticked = count_line(draft, step, item, action)
    else:
        ticked = _answered(draft, step, item, action)
    if _is_staging(step):
        coded = {"code": action.code or None, **_labels_kept(draft, ticked)}
        ticked = ticked.model_copy(update=coded)
    draft.say(ticked.model_copy(update=happened(draft, action)))
    answer_late(draft, step)


def _labels_kept(draft: Draft, ticked: Ticked) -> dict[str, Any]:
    """Return how many labels of a part were read before: an answer by its key forgets none."""
    last = draft.state.track(ticked.step).ticks.get(ticked.item)
    line = for_part(draft.state.opened.order, ticked.item)
    if last is None or last.answer.count is None or line is None:
        return {}
    read = labels_read(last.answer.count, line.count) if ticked.outcome != "here" else ""
    return {"count": last.answer.count, "words": ticked.words or read}


def step_to_tick(draft: Draft, name: str) -> Step:
    """Return the step called `name`, whose lines may be answered now."""
    step = draft.step(name)
    if not (_is_staging(step) and draft.state.track(step.id).finished):
        draft.read_first(name)
    return step


def answer_late(draft: Draft, step: Step) -> None:
    """Say what a finished step has come to by a line ticked later: done, or incomplete."""
    track = draft.state.track(step.id)
    if not track.finished:
        return
    items = items_that_apply(draft.procedure, draft.state, step)
    ticked = [track.ticks.get(item.item) for item in items]
    complete = all(tick is not None and tick.answer.weight == "good" for tick in ticked)
    if complete and not track.good:
        draft.say(Answered(step=step.id, outcome="done", weight="good"))
    elif track.good and not complete:
        draft.say(Answered(step=step.id, outcome="incomplete", weight="neutral"))


def tick_rest(draft: Draft, action: TickRest) -> None:
    """Say of every line not answered yet, or of those of one group, that it is well."""
    step = draft.read_first(action.tick_rest)
    if not isinstance(step, Inspect | Choose):
        refuse("Only the lines of a condition sheet, or choices, can be answered together.")
    ticked = draft.state.track(step.id).ticks
    good = rest_answer(draft.procedure, step, action.value)
    rest = [
        item
        for item in items_that_apply(draft.procedure, draft.state, step)
        if item.item not in ticked
        and (not action.group or item.group == action.group)
        and good in line_outcomes(draft.procedure, step, item.item)
    ]
    if not rest:
        refuse("There is no line left to answer here.")
    more = {"together": True if len(rest) > 1 else None, **happened(draft, action)}
    for item in rest:
        draft.say(Ticked(step=step.id, item=item.item, outcome=good, weight="good", **more))


def rest_answer(procedure: Procedure, step: Inspect | Choose, value: str = "") -> str:
    """Return what the lines of `step` come to that are answered together."""
    if isinstance(step, Choose):
        return value or REST
    return outcomes_of(procedure, step)[0]


def _is_staging(step: Step) -> bool:
    return isinstance(step, Do) and step.each in ("tools", "parts")


def _item(draft: Draft, step: Step, name: str) -> Item:
    items = items_that_apply(draft.procedure, draft.state, step)
    if not items:
        refuse(f"“{step.text}” is not answered line by line.")
    for item in items:
        if item.item == name:
            return item
    refuse(f"“{name}” is no line of this step. Its lines: {', '.join(i.item for i in items)}.")


def _answered(draft: Draft, step: Step, item: Item, action: TickLine) -> Ticked:
    known = line_outcomes(draft.procedure, step, item.item)
    outcome = (action.value if isinstance(step, Choose) else None) or action.outcome
    if outcome not in known:
        refuse(f"{quoted(outcome or '')} is no answer to this line. It takes: {', '.join(known)}.")
    marks = marks_now(draft, step, item, action)
    if outcome in NEED_WORDS and not (action.words or marks):
        refuse(f"“{item.name}”: {outcome}. Say what or why in a few words.")
    weight: Weight = "good" if outcome in _GOOD or isinstance(step, Choose) else "neutral"
    if isinstance(step, Do) and step.each == "tools" and outcome == "here":
        return _staged(draft, step, item, action)
    said = {"words": action.words, "marks": marks or None}
    return Ticked(step=step.id, item=item.item, outcome=outcome, weight=weight, **said)


def _staged(draft: Draft, step: Step, item: Item, action: TickLine) -> Ticked:
    """Return the tick of a tool that is here; an instrument names itself and its calibration."""
    tool = next(tool for tool in draft.procedure.tools if tool.tool == item.item)
    if not tool.instrument:
        return Ticked(
            step=step.id, item=item.item, outcome="here", weight="good", words=action.words
        )
    if not action.instrument or action.due is None:
        refuse(
            f"{tool.name}: name the instrument, and the date its calibration is due.",
            "Read both from its label.",
        )
    overdue = action.due.isoformat() < day_of(draft.when)
    return Ticked(
        step=step.id,
        item=item.item,
        outcome="overdue for calibration" if overdue else "here",
        weight="neutral" if overdue else "good",
        words=action.words,
        instrument=action.instrument,
        due=action.due.isoformat(),
    )
