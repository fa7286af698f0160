"""The invented shops of the chain and the people in them, by id; no names, no real anything."""

import hashlib
from dataclasses import dataclass, field
from random import Random

from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.releases import Release

PIN = "2580"
"""The PIN of everybody in the chain: a demo has nothing to keep."""

PLACES = (
    *("mill", "ferry", "quarry", "orchard", "viaduct", "brickworks", "lighthouse", "weir"),
    *("tannery", "windbreak", "saltpan", "turntable", "ropewalk", "sluice", "limekiln", "causeway"),
)
SIDES = ("behind", "beside", "below", "above", "before", "beyond")


def shop_name(number: int) -> str:
    """Return the folder name of a shop, counted from 0: `001-behind-the-mill`."""
    side, place = SIDES[number // len(PLACES) % len(SIDES)], PLACES[number % len(PLACES)]
    return f"{number + 1:03}-{side}-the-{place}"


@dataclass(slots=True)
class Crew:
    """Who works in one shop: three technicians, a trainee and two supervisors."""

    number: int
    """The number of the shop, counted from 1."""
    chance: Random
    left: set[str] = field(default_factory=set)
    """Who is retired in the end."""
    released_elsewhere: set[str] = field(default_factory=set)
    """Who is released for another procedure alone in the end."""
    releases: list[Release] = field(default_factory=list)
    """What the trainee may do without a mentor in the end."""

    @property
    def technicians(self) -> tuple[Person, ...]:
        """Those who can do every job; they proved it by PIN."""
        return tuple(self._person("T", each, "technician") for each in (1, 2, 3))

    @property
    def trainee(self) -> Person:
        """The one who learns."""
        return self._person("L", 4, "trainee")

    @property
    def supervisors(self) -> tuple[Person, ...]:
        """Those who may open gates."""
        return tuple(self._person("S", each, "supervisor") for each in (5, 6))

    @property
    def everybody(self) -> tuple[Person, ...]:
        """All of them."""
        return (*self.technicians, self.trainee, *self.supervisors)

    def _person(self, letter: str, each: int, role: str) -> Person:
        return Person(f"{letter}-{self.number:03}{each}", role, signed="pin")

    def pace(self, person: str) -> float:
        """Return how much longer than others this person takes, the same in every job."""
        return Random(f"{self.number}/{person}").lognormvariate(0, 0.12)

    def staff_text(self) -> str:
        """Return the staff file, as it stands in the end."""
        salt = hashlib.sha256(f"chain {self.number}".encode()).digest()[:16]
        key = hashlib.scrypt(PIN.encode(), salt=salt, n=2**14, r=8, p=1, dklen=32)
        pin = f"scrypt n={2**14} r=8 p=1 salt={salt.hex()} key={key.hex()}"
        lines = [
            "# The people of an invented shop. Their PINs are all the same; see the demo's README.",
            "staff:",
        ]
        for person in self.everybody:
            lines += [f"  - id: {person.id}", f"    role: {person.role}", f"    pin: {pin}"]
            if person.id in self.released_elsewhere:
                lines += ["    released-for:", "      - receiver-swap"]
            if person == self.trainee and self.releases:
                lines += ["    releases:", *(f"      - {_line(each)}" for each in self.releases)]
            if person.id in self.left:
                lines.append("    active: no")
        return "\n".join(lines) + "\n"


def _line(release: Release) -> str:
    """Return a release as the staff file holds it."""
    told = release.model_dump(mode="json")
    return f"{{{', '.join(f'{key}: {value}' for key, value in told.items())}}}"


def settings_text(name: str) -> str:
    """Return the settings of the shop in the folder called `name`."""
    told = name.partition("-")[2].replace("-", " ")
    return f"""\
# The settings of an invented shop of the demo chain.
name: The bay {told}
reasons:
  - {REASON}
  - owner agreed to take the vehicle as it is
"""


REASON = "measured another way"
