"""A code read off a label: the part on the order that it ticks off, counting up."""

from baycompanion.job.actions import Scan
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.deciding.late import happened
from baycompanion.job.deciding.ticking import answer_late, step_to_tick
from baycompanion.job.events.carried import OrderedPart
from baycompanion.job.events.kinds import Ticked, Weight
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.parts_order import labels_read, with_code
from baycompanion.procedure.steps import Do, Step
from baycompanion.text.problem import quoted


def scan(draft: Draft, action: Scan) -> None:
    """Tick off the part whose code was read; one of several counts up to all of them."""
    step = step_to_tick(draft, action.scan)
    line = _ordered(draft, step, action.code)
    assert line.part is not None
    last = draft.state.track(step.id).ticks.get(line.part)
    before = (last.answer.count or 0) if last is not None else 0
    count = min(before + 1, line.count)  # a replacement may be read once all were
    if last is not None and last.answer.outcome == "here":
        refuse(f"“{line.name}” is ticked off already, all {line.count} of the order.")
    here = count == line.count
    weight: Weight = "good" if here else "neutral"
    draft.say(
        Ticked(
            step=step.id,
            item=line.part,
            outcome="here" if here else "missing",
            weight=weight,
            words=labels_read(count, line.count),
            count=count,
            code=action.code,
            **happened(draft, action),
        )
    )
    answer_late(draft, step)


def _ordered(draft: Draft, step: Step, code: str) -> OrderedPart:
    """Return the line of the order with this code, whose part is one of this step."""
    if not (isinstance(step, Do) and step.each == "parts"):
        refuse(f"“{step.text}” ticks off no parts.")
    order = draft.state.opened.order
    if order is None:
        refuse("This job has no order to hold a code against.", "Tick the part off by its key.")
    line = with_code(order, code)
    if line is None:
        refuse(
            f"{quoted(code)} is not on the order {order.order}.",
            "Answer the part that it came for as wrong, with the code.",
        )
    items = items_that_apply(draft.procedure, draft.state, step)
    if line.part not in {item.item for item in items}:
        refuse(f"“{line.name}” is on the order, and no part that this job needs.")
    return line
