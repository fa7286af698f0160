"""Fasteners: how many came off and went back, which do not agree, and which are others now."""

from baycompanion.job.record.vehicle import TrayRecord
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source, number

NOT_COUNTED = "not counted"
"""How many went back of a line that nobody counted back: the job ended before, or is under way."""


def fasteners(source: Source) -> Section | None:
    """Return the tray; only the lines that do not agree and the exchanges are listed."""
    lines = [line for line in source.record.tray if line.out or line.back is not None]
    if not lines:
        return None
    out = sum(line.out or 0 for line in lines)
    back = sum(min(line.back or 0, line.out or 0) for line in lines)
    # One too many of a kind stands in for no other that is missing.
    more = sum(max((line.back or 0) - (line.out or 0), 0) for line in lines)
    apart = tuple(
        (_named(line), str(line.out or 0), NOT_COUNTED if line.back is None else str(line.back))
        for line in lines
        if line.back is None or line.left
    )
    went = f"{number(out, 'fastener')} came off, {back} went back"
    went += f", and {more} too many" if more else ""
    return Section(
        "Fasteners",
        says=(f"{went}." if apart else f"{went}: the same of every kind.",),
        table=Table(("What does not agree", "Out", "Back"), apart) if apart else None,
        points=tuple(_exchange(line) for line in lines if line.exchanged),
        weight="alarm" if apart else "plain",
    )


def _named(line: TrayRecord) -> str:
    kind = ", ".join(filter(None, (line.kind, line.size)))
    return f"{line.panel}: {kind}" if line.panel else kind


def _exchange(line: TrayRecord) -> str:
    """Return what went in for the old ones, and why."""
    return (
        f"{_named(line)}: {line.exchanged} exchanged for {line.exchanged_for}, {line.exchanged_why}"
    )
