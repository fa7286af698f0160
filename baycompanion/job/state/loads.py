"""The load that a job adds to each circuit of the vehicle, against the fuse that protects it."""

from dataclasses import dataclass
from decimal import Decimal

from baycompanion.job.state.state import Circuit, State
from baycompanion.text.reading import write_number


@dataclass(frozen=True, slots=True)
class Load:
    """What the job adds to one circuit of the vehicle, against the fuse that protects it."""

    circuit: str
    added_a: Decimal
    """The sum of all loads added, in A."""
    fuse_a: Decimal | None
    """The least rating that was written down for it, in A; None where none was."""

    @property
    def over(self) -> bool:
        """Whether the added load alone is more than the fuse carries."""
        return self.fuse_a is not None and self.added_a > self.fuse_a

    def __str__(self) -> str:
        added = f"{self.circuit}: {write_number(self.added_a)} A added"
        if self.fuse_a is None:
            return f"{added}, its fuse is not written down"
        word = "OVER" if self.over else "within"
        return f"{added}, {word} its fuse of {write_number(self.fuse_a)} A"


def loads(state: State) -> tuple[Load, ...]:
    """Return the load added to each circuit still borrowed, in the order of their first use.

    Grounds carry the return of what is fed elsewhere, so they add to none. The circuit's own load
    comes on top, and only the vehicle maker knows it.
    """
    kept = [each for each in state.circuits if each.in_use and each.data.method != "ground"]
    found: dict[str, list[Circuit]] = {}
    for each in kept:
        found.setdefault(each.data.circuit.casefold(), []).append(each)
    return tuple(_load(together) for together in found.values())


def _load(together: list[Circuit]) -> Load:
    fuses = [Decimal(each.data.fuse_a) for each in together if each.data.fuse_a is not None]
    added = sum((Decimal(each.data.load_a or 0) for each in together), Decimal())
    return Load(together[0].data.circuit, added, min(fuses, default=None))
