"""Fasteners: how many came off, how many went back, and which do not agree."""

from collections.abc import Iterator

from baycompanion.procedure.steps import Count
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source, number


def fasteners(source: Source) -> Section | None:
    """Return the counts out and back; only the lines that do not agree are listed."""
    lines = tuple(_counts(source))
    if not lines:
        return None
    out, back = sum(line[1] for line in lines), sum(line[2] for line in lines)
    apart = tuple((name, str(a), str(b)) for name, a, b in lines if a != b)
    went = f"{number(out, 'fastener')} came off, {back} went back"
    return Section(
        "Fasteners",
        says=(f"{went}." if apart else f"{went}: the same of every kind.",),
        table=Table(("What does not agree", "Out", "Back"), apart) if apart else None,
        weight="alarm" if apart else "plain",
    )


def _counts(source: Source) -> Iterator[tuple[str, int, int]]:
    for step, part, _ in source.finished("count"):
        if isinstance(step, Count) and step.matches:
            out = source.part(step.matches)
            counted = {line.item: line.count or 0 for line in (out.lines if out else ())}
            for line in part.lines:
                yield line.name, counted.get(line.item, 0), line.count or 0
