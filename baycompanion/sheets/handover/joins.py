"""The splice plan in short: which leads are joined, which are left over and insulated."""

from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.source import Source, number


def joins(source: Source) -> Section | None:
    """Return the joins of the job, nothing without a splice plan."""
    plan = source.record.splice_plan
    if plan is None:
        return None
    left = "; ".join(each.name for each in plan.left_over) or "none"
    return Section(
        "Joins in the harness",
        facts=(
            (number(len(plan.joins), "join"), "; ".join(each.name for each in plan.joins)),
            ("Left over, insulated", left),
        ),
        weight="quiet",
    )
