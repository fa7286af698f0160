"""The splice plan of a job: taken over line by line, and never changed under work that is done."""

from baycompanion.job.actions import PlannedLine, PlanSplices
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.carried import PlanFile, PlanLine
from baycompanion.job.events.kinds import SplicePlanned
from baycompanion.job.state.gates import Missing
from baycompanion.procedure.steps import Do

PLANNED = ("joins", "left-over")
"""What a step can list that comes from the plan."""


def plan_splices(draft: Draft, action: PlanSplices) -> None:
    """Give the job its plan; refuse while a step that was done by another one is finished."""
    names = [line.item for line in (*action.splice_plan, *action.left_over)]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        refuse(f"“{twice}” stands twice in this splice plan. Give each line a name of its own.")
    for step in draft.procedure.steps.values():
        listed = isinstance(step, Do) and isinstance(step.each, str) and step.each in PLANNED
        if listed and draft.state.track(step.id).finished:
            refuse(
                "The joins are made already. Reopen the step before the plan is changed.",
                Missing(step.text, step.id),
            )
    draft.say(
        SplicePlanned(
            joins=_lines(action.splice_plan),
            left_over=_lines(action.left_over),
            files=[PlanFile(file=each.file, sha256=each.sha256) for each in action.files],
        )
    )


def _lines(lines: tuple[PlannedLine, ...]) -> list[PlanLine]:
    return [PlanLine(item=line.item, name=line.name) for line in lines]
