"""The made-up vehicle of a practice: what it is, what it has, what every meter and tray says."""

from collections.abc import Mapping
from dataclasses import dataclass

from baycompanion.job.carried import Vehicle
from baycompanion.learning.drawing_lots import drawn, lot
from baycompanion.procedure.model import Procedure

_COLOURS = ("blue", "grey", "green", "white", "red", "silver")
_BODIES = ("van", "hatchback", "estate car", "pickup", "saloon", "camper")


@dataclass(frozen=True, slots=True)
class MadeUpVehicle:
    """A vehicle that nobody has, the same for the same procedure, seed and number of faults."""

    seed: int
    vehicle: Vehicle
    work_order: str
    facts: Mapping[str, str]
    """The answer to each choice."""


def make_vehicle(procedure: Procedure, seed: int, faults: int) -> MadeUpVehicle:
    """Return the vehicle for `procedure` under `seed`, with that many faults planted.

    There are fewer where the procedure has no room for more.
    """
    words = f"Made-up {drawn(_COLOURS, seed, 'colour')} {drawn(_BODIES, seed, 'body')}"
    plate = f"PRACTICE {lot(seed, 'plate').randint(1, 999)}"
    return MadeUpVehicle(
        seed=seed,
        vehicle=Vehicle(description=words, plate=plate),
        work_order=f"Practice {lot(seed, 'order').randint(100, 999)}",
        facts={
            choice.choice: drawn(choice.answers, seed, "choice", choice.choice)
            for choice in procedure.choices
        },
    )
