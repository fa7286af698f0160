"""The made-up vehicle of a practice: what it is, what it has, what every meter and tray says."""

from collections.abc import Mapping
from dataclasses import dataclass

from baycompanion.job.actions import FoundMark
from baycompanion.job.events.carried import Vehicle
from baycompanion.learning.drawing_lots import drawn, lot
from baycompanion.learning.practice.made_readings import readings_of
from baycompanion.learning.practice.planting import Counts, Planted, plant
from baycompanion.procedure.model import Choice, Procedure
from baycompanion.procedure.panels import places_of
from baycompanion.procedure.paths import applies, step_applies
from baycompanion.procedure.steps import Choose, Count, Inspect

_COLOURS = ("blue", "grey", "green", "white", "red", "silver")
_BODIES = ("van", "hatchback", "estate car", "pickup", "saloon", "camper")
_MARKED = 0.06
"""The share of panels that have a mark before the work; invented."""


@dataclass(frozen=True, slots=True)
class MadeUpVehicle:
    """A vehicle that nobody has, the same for the same procedure, seed and number of faults."""

    seed: int
    vehicle: Vehicle
    work_order: str
    facts: Mapping[str, str]
    """The answer to each choice that is settled on the way which these answers lead."""
    readings: Mapping[str, str]
    """What is read at each step that takes a number, or feeds a sum, without its unit."""
    counts: Counts
    """How many fasteners come off, by the count out and its lines."""
    marks: Mapping[tuple[str, str], FoundMark]
    """The marks that were there before, by the condition sheet and its lines."""
    planted: tuple[Planted, ...]
    """The planted faults, in the order of the work."""

    def fact(self, choice: Choice) -> str:
        """Return the answer to `choice`, on whatever way it is asked."""
        return self.facts.get(choice.choice, _answer(choice, self.seed))


def make_vehicle(procedure: Procedure, seed: int, faults: int) -> MadeUpVehicle:
    """Return the vehicle for `procedure` under `seed`, with that many faults planted.

    There are fewer where the procedure has no room for more.
    """
    words = f"Made-up {drawn(_COLOURS, seed, 'colour')} {drawn(_BODIES, seed, 'body')}"
    plate = f"PRACTICE {lot(seed, 'plate').randint(1, 999)}"
    facts = _facts(procedure, seed)
    counts = _counts(procedure, facts, seed)
    return MadeUpVehicle(
        seed=seed,
        vehicle=Vehicle(description=words, plate=plate),
        work_order=f"Practice {lot(seed, 'order').randint(100, 999)}",
        facts=facts,
        readings=readings_of(procedure, facts, seed),
        counts=counts,
        marks=_marks(procedure, seed),
        planted=plant(procedure, facts, counts, seed, faults),
    )


def _answer(choice: Choice, seed: int) -> str:
    return drawn(choice.answers, seed, "choice", choice.choice)


def _facts(procedure: Procedure, seed: int) -> dict[str, str]:
    """Return what is settled when the choices are answered one after the other, as drawn."""
    facts: dict[str, str] = {}
    for step in procedure.steps.values():
        if isinstance(step, Choose) and step_applies(procedure, step.id, facts):
            facts |= {each.choice: _answer(each, seed) for each in procedure.settled_by(step)}
    return facts


def _counts(procedure: Procedure, facts: Mapping[str, str], seed: int) -> Counts:
    return {
        step.id: {
            item.item: lot(seed, "count", step.id, item.item).randint(2, 8)
            for item in step.of
            if applies(item, facts)
        }
        for step in procedure.steps.values()
        if isinstance(step, Count) and step.matches is None
    }


def _marks(procedure: Procedure, seed: int) -> dict[tuple[str, str], FoundMark]:
    found = {}
    for step in procedure.steps.values():
        if not isinstance(step, Inspect) or step.compares or step.looks_for != "marks":
            continue
        for item in step.of:
            chance = lot(seed, "marked", step.id, item.item)
            if item.panel is not None and chance.random() < _MARKED:
                found[step.id, item.item] = mark_on(seed, step.id, item.panel, item.item)
    return found


def mark_on(seed: int, *names: object) -> FoundMark:
    """Return a mark that is drawn for `names`, whose second is the panel that it lies on."""
    chance = lot(seed, "mark", *names)
    panel = names[1]
    return FoundMark(
        mark=chance.choice(("scratch", "chip", "dent")),
        size_mm=chance.randint(4, 40),
        place=chance.choice(places_of(panel)),  # type: ignore[arg-type]
    )
