"""What the owner is told: the lines of the procedure, and what the shop promises."""

from baycompanion.procedure.paths import applies
from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.source import Source


def for_the_owner(source: Source) -> Section | None:
    """Return what the owner does, leaves be and looks out for from now on."""
    lines = tuple(
        line.tell for line in source.procedure.for_the_owner if applies(line, source.record.choices)
    )
    return Section("For you, the owner", points=lines, wide=True) if lines else None


def warranty(source: Source) -> Section | None:
    """Return what the shop promises, as its settings say it."""
    return Section("Warranty", points=source.warranty) if source.warranty else None
