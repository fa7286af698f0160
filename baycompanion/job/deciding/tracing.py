"""Differences from an earlier job, each put down as a fault of its work or of the vehicle."""

from baycompanion.job.deciding.draft import Draft
from baycompanion.job.deciding.ticking import ELSEWHERE, OUR_WORK
from baycompanion.job.events.kinds import Cause, FaultRaised
from baycompanion.job.state.order import items_that_apply
from baycompanion.procedure.steps import Do, Step

_CAUSES: dict[str, Cause] = {OUR_WORK: "work", ELSEWHERE: "vehicle"}


def traced_faults(draft: Draft, step: Step) -> list[FaultRaised]:
    """Return a fault for each difference that `step` traced and that no open fault tells of yet.

    What nobody could tell stays a deviation of the step, and becomes nobody's fault.
    """
    if not (isinstance(step, Do) and step.each == "differences"):
        return []
    ticks = draft.state.track(step.id).ticks
    told = {
        (fault.item, fault.cause)
        for fault in draft.state.faults
        if fault.open and fault.step == step.id
    }
    traced = [
        (item, tick.answer, cause)
        for item in items_that_apply(draft.procedure, draft.state, step)
        if (tick := ticks.get(item.item)) is not None
        if (cause := _CAUSES.get(tick.answer.outcome)) is not None
        if (item.item, cause) not in told
    ]
    number = len(draft.state.faults)
    return [
        FaultRaised(
            fault=number + place,
            cause=cause,
            words=f"{item.name}: {answer.outcome}, {answer.words}",
            step=step.id,
            item=item.item,
        )
        for place, (item, answer, cause) in enumerate(traced, start=1)
    ]
