"""Vehicles that came back for what an earlier job did, held against what that job left behind."""

from collections.abc import Iterator

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.played import Played
from baycompanion.job.deciding.ticking import OUR_WORK
from baycompanion.job.events.kinds import Ticked
from baycompanion.job.state.since import differences
from baycompanion.procedure.steps import Do
from baycompanion.text.counted import counted

CAME_BACK = Rule("came-back-for-our-work", "serious")


def came_back(job: Played) -> Iterator[Finding]:
    """Yield what a job found to come from the work of the earlier one beside it.

    It names the gates that were opened with authority there: whether they would have found it is
    the question.
    """
    earlier = job.state.opened.earlier
    ours = _ours(job)
    if earlier is None or not ours:
        return
    names = {each.item.item: each.item.name for each in differences(job.procedure, job.state)}
    found = "; ".join(names.get(item, item) for item in ours)
    gates = [each.gate for each in earlier.left if each.gate is not None]
    left = (
        f"That job was left with {counted(len(gates), 'gate')} opened with authority: "
        f"{', '.join(gates)}. Would one of them have found it?"
        if gates
        else "That job left no gate open. Which check of it would have found this?"
    )
    told = (
        f"The vehicle came back from {earlier.job} ({earlier.procedure}, revision "
        f"{earlier.revision}), and this is worse than it left, by our work: {found}. {left}"
    )
    yield Finding(CAME_BACK, told, job.name, events=tuple(ours.values()), about=earlier.job)


def _ours(job: Played) -> dict[str, int]:
    """Return the lines said to come from our work, each with the event that says so last."""
    tracing = {
        step.id
        for step in job.procedure.steps.values()
        if isinstance(step, Do) and step.each == "differences"
    }
    said: dict[str, int] = {}
    for event, data in job.all_of(Ticked) if tracing else ():
        if data.step in tracing:
            said.pop(data.item, None)
            if data.outcome == OUR_WORK:
                said[data.item] = event.seq
    return said
