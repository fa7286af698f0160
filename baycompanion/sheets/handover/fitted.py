"""What was done: the work by its procedure, the parts ticked off, their serial numbers."""

from collections.abc import Iterator

from baycompanion.job.record.vehicle import PartRecord
from baycompanion.procedure.steps import Record, Step
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source


def fitted(source: Source) -> Section:
    """Return what was done: a search or a comeback fits nothing, and stands here, too."""
    named, order = source.record.procedure, source.record.order
    looked_at = [part for part in source.record.parts if part.outcome]
    there = "; ".join(_counted(part) for part in looked_at if part.outcome == "here")
    others = tuple((part.name, _stands(part)) for part in looked_at if part.outcome != "here")
    ordered = f"Parts, by order {order}" if order is not None else "Parts, as ordered"
    return Section(
        "What was done",
        says=(f"{named.title}.",),
        facts=(*_serials(source), *([(ordered, there)] if there else [])),
        table=Table(("Part that was not there as ordered", "How it stands"), others)
        if others
        else None,
        wide=True,
    )


def is_serial(step: Step) -> bool:
    """Return whether a step asks for the serial number of a part that is fitted."""
    return isinstance(step, Record) and step.serial_of is not None


def _serials(source: Source) -> Iterator[tuple[str, str]]:
    for part in source.record.parts:
        if part.serial is not None:
            yield f"{part.name}, serial number", part.serial


def _counted(part: PartRecord) -> str:
    return f"{part.name} × {part.count}" if part.count > 1 else part.name


def _stands(part: PartRecord) -> str:
    return " – ".join(filter(None, (part.outcome, part.words)))
