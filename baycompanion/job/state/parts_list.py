"""The parts of a job: what was ordered, what came, and with which serial number."""

from dataclasses import dataclass

from baycompanion.job.events.kinds import Ticked
from baycompanion.job.state.order import step_applies
from baycompanion.job.state.parts_order import for_part
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Part, Procedure
from baycompanion.procedure.paths import applies
from baycompanion.procedure.steps import Record


@dataclass(frozen=True, slots=True)
class PartListed:
    """One part of the procedure, of the order, or of both."""

    part: str | None
    """Its id in the procedure; None where only the order has it."""
    name: str
    count: int
    """How many the procedure needs; of the order, where only that has it."""
    ordered: str | None
    """What the order calls it; None where it is not on the order, or there is none."""
    code: str | None
    """The code that was read off it, else the one on the order."""
    outcome: str
    """here, missing, wrong or damaged; empty while nobody has looked."""
    words: str
    serial: str | None
    """The serial number, where it was written down."""


def parts_list(procedure: Procedure, state: State) -> tuple[PartListed, ...]:
    """Return every part that this job needs, and then what else is on the order."""
    listed = [
        _listed(procedure, state, part) for part in procedure.parts if applies(part, state.choices)
    ]
    return (*listed, *_only_ordered(procedure, state))


def not_ordered(procedure: Procedure, state: State) -> tuple[str, ...]:
    """Return the parts that this job needs and that are not on its order, by their names."""
    if state.opened.order is None:
        return ()
    listed = parts_list(procedure, state)
    return tuple(each.name for each in listed if each.part is not None and each.ordered is None)


def not_needed(procedure: Procedure, state: State) -> tuple[str, ...]:
    """Return what is on the order and is no part that this job needs, by the names there."""
    return tuple(each.name for each in _only_ordered(procedure, state))


def part_ticked(procedure: Procedure, state: State, part: str) -> Ticked | None:
    """Return the newest answer about `part`, None while nobody has looked."""
    ticks = [state.track(step).ticks for step in procedure.staging["parts"]]
    found = next((tick[part] for tick in reversed(ticks) if part in tick), None)
    return found.answer if found is not None else None


def _listed(procedure: Procedure, state: State, part: Part) -> PartListed:
    line = for_part(state.opened.order, part.part)
    ticked = part_ticked(procedure, state, part.part)
    read = ticked.code if ticked is not None else None
    return PartListed(
        part=part.part,
        name=part.name,
        count=part.count,
        ordered=line.name if line is not None else None,
        code=read or (line.code if line is not None else None),
        outcome=ticked.outcome if ticked is not None else "",
        words=ticked.words if ticked is not None else "",
        serial=_serial(procedure, state, part.part),
    )


def _only_ordered(procedure: Procedure, state: State) -> tuple[PartListed, ...]:
    needed = {part.part for part in procedure.parts if applies(part, state.choices)}
    lines = state.opened.order.parts if state.opened.order is not None else []
    return tuple(
        PartListed(None, line.name, line.count, line.name, line.code, "", "", None)
        for line in lines
        if line.part not in needed
    )


def _serial(procedure: Procedure, state: State, part: str) -> str | None:
    """Return the serial number of `part` as it was written down last."""
    found = None
    for step in procedure.steps.values():
        if isinstance(step, Record) and step.serial_of == part:
            track = state.track(step.id)
            if track.good and step_applies(procedure, state, step):
                found = track.attempts[-1].answer.words
    return found
