"""Planting: which faults a made-up vehicle has, drawn by lot from what its procedure can find."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from baycompanion.learning.drawing_lots import drawn, lot
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import Answers, applies, step_applies
from baycompanion.procedure.steps import Check, Count, Inspect, Item, Measure, Step, Witness
from baycompanion.procedure.walk import sums_of
from baycompanion.text.reading import write_number

Counts = Mapping[str, Mapping[str, int]]
"""How many fasteners of each line come off, by the count out and the line."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a planted fault shows: a step, and the line of it where it has lines."""

    step: str
    line: str | None = None
    reading: str | None = None
    """Of a measure: what its instrument shows, in the unit of the step."""
    seen: str = ""
    """What is found there; empty where general words do."""
    sums: tuple[str, ...] = ()
    """Of a measure without limits: the sums that tell what is wrong with its reading."""

    @property
    def steps(self) -> tuple[str, ...]:
        """The steps at which it is told."""
        return (self.step, *self.sums)


@dataclass(frozen=True, slots=True)
class Planted:
    """One planted fault."""

    fault: str
    name: str
    cause: Literal["vehicle", "work"]
    spots: tuple[Spot, ...]
    """Where it can be caught, in the order of the work."""
    witnesses: tuple[str, ...] = ()
    """The steps at which a second person looks at the same work."""
    later: tuple[Spot, ...] = ()
    """Where it shows on the sheet after the work, as it was before: too late to be caught."""

    @property
    def steps(self) -> tuple[str, ...]:
        """The steps at which it shows in time, in their order."""
        told = [name for spot in self.spots for name in spot.steps]
        return tuple(dict.fromkeys([*told, *self.witnesses]))


def plant(
    procedure: Procedure, facts: Answers, counts: Counts, seed: int, faults: int
) -> tuple[Planted, ...]:
    """Return `faults` faults, or as many as there is room for, in the order of the work.

    What the procedure says can be found comes first; what is left is planted in general words. No
    two show at the same place. A step that is added to the procedure shifts none of the others.

    Args:
        procedure: What is practised.
        facts: What the vehicle is like, by choice.
        counts: What comes off it.
        seed: What is drawn from.
        faults: How many are wanted, 0 or more.
    """
    written = list(_written(procedure, facts, counts))
    general = _general(procedure, facts, counts, seed)
    by_lot = [
        *sorted(written, key=lambda each: lot(seed, "planted", each.fault).random()),
        *sorted(general, key=lambda each: lot(seed, "planted", each.fault).random()),
    ]
    taken: list[Planted] = []
    used: set[tuple[str, str | None]] = set()
    for each in by_lot:
        places = {(spot.step, spot.line) for spot in (*each.spots, *each.later)}
        if len(taken) < faults and not places & used:
            taken.append(_told_everywhere(procedure, facts, each))
            used |= places
    return tuple(sorted(taken, key=lambda each: procedure.number[each.steps[0]]))


def _told_everywhere(procedure: Procedure, facts: Answers, planted: Planted) -> Planted:
    """Return `planted` with the second people who look at the same work."""
    steps = {spot.step for spot in planted.spots if not _is_before(procedure, spot.step)}
    looking = tuple(
        step.id
        for step in procedure.steps.values()
        if isinstance(step, Witness)
        and steps & {*step.of}
        and step_applies(procedure, step.id, facts)
    )
    return replace(planted, witnesses=looking)


def _is_before(procedure: Procedure, step: str) -> bool:
    """Return whether the step called `step` is a condition sheet of before the work."""
    each = procedure.steps[step]
    return isinstance(each, Inspect) and each.compares is None


def _written(procedure: Procedure, facts: Answers, counts: Counts) -> Iterator[Planted]:
    """Yield what the procedure itself says can be found, where this vehicle can show it."""
    found: dict[str, Planted] = {}
    for step in procedure.steps.values():
        for fault in step.faults:
            if not _can_show(procedure, facts, counts, step, fault.line):
                continue
            reading = write_number(fault.reading) if fault.reading is not None else None
            sums = _telling(procedure, facts, step)
            spot = Spot(step.id, fault.line, reading, fault.seen or "", sums)
            known = found.get(fault.fault, Planted(fault.fault, fault.name, fault.cause, ()))
            found[fault.fault] = replace(
                known,
                spots=(*known.spots, spot),
                later=(*known.later, *_later(procedure, facts, fault.cause, spot)),
            )
    yield from found.values()


def _can_show(
    procedure: Procedure, facts: Answers, counts: Counts, step: Step, line: str | None
) -> bool:
    """Return whether something can show at `step`, or at `line` of it, in this vehicle."""
    if not step_applies(procedure, step.id, facts):
        return False
    if line is None:
        unlimited = isinstance(step, Measure) and step.at_least is None and step.at_most is None
        return not unlimited or bool(_telling(procedure, facts, step))
    items = {item.item: item for item in procedure.items_of(step)}
    comes_off = not isinstance(step, Count) or any(out.get(line) for out in counts.values())
    return line in items and applies(items[line], facts) and comes_off


def _telling(procedure: Procedure, facts: Answers, step: Step) -> tuple[str, ...]:
    """Return the sums that tell what is wrong with a reading which has no limits itself."""
    if not isinstance(step, Measure) or (step.at_least, step.at_most) != (None, None):
        return ()
    taking = (each.id for each in sums_of(procedure, step))
    return tuple(name for name in taking if step_applies(procedure, name, facts))


def _later(procedure: Procedure, facts: Answers, cause: str, spot: Spot) -> Iterator[Spot]:
    """Yield where a fault of the vehicle shows again, on the sheets that compare with the first."""
    for step in procedure.steps.values():
        compares = isinstance(step, Inspect) and step.compares == spot.step
        if cause == "vehicle" and compares and step_applies(procedure, step.id, facts):
            yield replace(spot, step=step.id)


def _general(procedure: Procedure, facts: Answers, counts: Counts, seed: int) -> Iterator[Planted]:
    """Yield what can be wrong at a step by its verb, where the procedure says nothing itself.

    What can kill is never made up: nobody is to learn that it is put right by trying again.
    """
    for step in procedure.steps.values():
        deadly = any(caution.signal == "danger" for caution in step.cautions)
        if step.faults or deadly or not step_applies(procedure, step.id, facts):
            continue
        if isinstance(step, Check):
            name = f"Not so: {step.text}"
            yield Planted(f"{step.id}-not-so", name, "work", (Spot(step.id),))
        elif isinstance(step, Measure) and (reading := _outside(step, seed)):
            name = f"Outside the limits: {step.text}"
            yield Planted(f"{step.id}-outside", name, "work", (Spot(step.id, None, reading),))
        elif isinstance(step, Inspect) or (isinstance(step, Count) and step.matches):
            yield from _on_a_line(procedure, facts, counts, step, seed)


def _on_a_line(
    procedure: Procedure, facts: Answers, counts: Counts, step: Inspect | Count, seed: int
) -> Iterator[Planted]:
    """Yield what can be wrong on one line of a list, which is drawn by lot."""
    lines = [
        item
        for item in procedure.items_of(step)
        if _can_show(procedure, facts, counts, step, item.item)
    ]
    if not lines:
        return
    item: Item = drawn(lines, seed, "line", step.id)
    spot = Spot(step.id, item.item)
    if isinstance(step, Count):
        name = f"One left over: {item.name}"
        yield Planted(f"{step.id}-{item.item}-short", name, "work", (spot,))
    elif step.compares:
        name = f"Worse than before: {item.name}"
        yield Planted(f"{step.id}-{item.item}-worse", name, "work", (spot,))
    else:
        name = f"So before the work: {item.name}"
        later = tuple(_later(procedure, facts, "vehicle", spot))
        yield Planted(f"{step.id}-{item.item}-before", name, "vehicle", (spot,), later=later)


def _outside(step: Measure, seed: int) -> str | None:
    """Return a reading outside the limits of `step`, None where it has none."""
    low, high = step.at_least, step.at_most
    if low is None and high is None:
        return None
    chance = lot(seed, "outside", step.id)
    above = high is not None and (low is None or low <= 0 or chance.random() < 0.5)
    limit = high if above else low
    assert limit is not None
    least = Decimal(1).scaleb(int(limit.as_tuple().exponent))  # one in its last digit
    off = max(least, abs(limit) * Decimal(str(round(chance.uniform(0.05, 0.3), 2))))
    number = (limit + off if above else limit - off).quantize(least)
    return write_number(number)
