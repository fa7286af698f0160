"""The splice plan in short: which functions are joined, which leads are left over.

The plugs, pins and colours of each join lie in the record.
"""

from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.source import Source, number


def joins(source: Source) -> Section | None:
    """Return the joins of the job, nothing without a splice plan."""
    plan = source.record.splice_plan
    if plan is None:
        return None
    joined = ", ".join(each.name.partition(": ")[0] for each in plan.joins)
    left = "; ".join(each.name for each in plan.left_over) or "none"
    return Section(
        "Joins in the harness",
        facts=(
            (f"{number(len(plan.joins), 'join')}, each by the splice plan", joined or "none"),
            ("Left over, insulated", left),
        ),
        weight="quiet",
    )
