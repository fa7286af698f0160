"""What was fitted: the work by its procedure, the parts ticked off, their serial numbers."""

from collections.abc import Iterator

from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source, entry, title


def fitted(source: Source) -> Section:
    """Return what was fitted."""
    named = source.record.procedure
    parts = tuple(_parts(source))
    there = "; ".join(name for name, outcome in parts if outcome == "here")
    others = tuple(part for part in parts if part[1] != "here")
    return Section(
        "What was fitted",
        says=(f"{named.title}, by revision {named.revision} of its procedure.",),
        facts=(*_serials(source), *([("Parts, as ordered", there)] if there else [])),
        table=Table(("Part that was not there as ordered", "How it stands"), others)
        if others
        else None,
        wide=True,
    )


def is_serial(text: str) -> bool:
    """Return whether a step asks for the serial number of what is fitted."""
    return "serial number" in text.casefold()


def _serials(source: Source) -> Iterator[tuple[str, str]]:
    for step, part, answer in source.finished("record"):
        if is_serial(step.text) and not source.is_private(part.id):
            yield title(step.text), entry(answer)


def _parts(source: Source) -> Iterator[tuple[str, str]]:
    for staging in source.procedure.staging["parts"]:
        part = source.part(staging)
        for line in part.lines if part is not None else ():
            yield line.name, " – ".join(filter(None, (line.outcome, line.words)))
