"""All that something may wait for on one vehicle or another, whatever applies to a vehicle.

`needs.py` tells what is needed for certain, so that no order is called wrong that is not. This is
the other side: what is not found here is waited for by nobody, on no vehicle.
"""

from collections.abc import Iterable, Iterator

from baycompanion.job.state.order import rests_on
from baycompanion.procedure import paths
from baycompanion.procedure.conditions import OnBench, leaves, step_named
from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.paths import Paths, with_phase
from baycompanion.procedure.steps import Applying


class Reach:
    """What the steps and gates of one procedure may wait for."""

    def __init__(self, procedure: Procedure) -> None:
        self._procedure = procedure
        self._settled_by = Paths.of(procedure).settled_by
        self._next: dict[str, frozenset[str]] = {}

    def behind(self, gate: Gate, held: str) -> frozenset[str]:
        """Return every step that `gate`, or the step `held` by it, may wait for in the end."""
        found, open_steps = set[str](), [held, *self._of_gate(gate)]
        while open_steps:
            name = open_steps.pop()
            if name not in found and name in self._procedure.steps:
                found.add(name)
                open_steps += self._behind_step(name)
        return frozenset(found - {held})

    def _behind_step(self, name: str) -> frozenset[str]:
        if name not in self._next:
            self._next[name] = frozenset(self._of_step(name))
        return self._next[name]

    def _of_step(self, name: str) -> Iterator[str]:
        procedure, step = self._procedure, self._procedure.steps[name]
        for gate in procedure.gates_on[name]:
            yield from self._of_gate(gate)
        yield from rests_on(procedure, step)
        yield from self._settling(with_phase(procedure, name))
        number = procedure.number
        for standing in procedure.standing:
            if not {standing.begins, standing.ends} <= number.keys():
                continue  # told by `check`
            begins, ends = number[standing.begins], number[standing.ends]
            if begins < number[name] <= ends:
                yield standing.begins
            if name == standing.ends:
                yield from (each for each, at in number.items() if begins < at < ends)

    def _of_gate(self, gate: Gate) -> Iterator[str]:
        procedure = self._procedure
        yield from self._settling((gate,))
        for leaf in leaves(gate.until):
            name = step_named(leaf)
            if name in procedure.steps:
                yield str(name)
                yield from self._settling(with_phase(procedure, str(name)))
            if isinstance(leaf, OnBench):
                for what, things in procedure.needed_by(leaf.on_bench).items():
                    yield from procedure.staging[what] if things else ()
                    yield from self._settling(things)

    def _settling(self, things: Iterable[Applying]) -> Iterator[str]:
        for thing in things:
            for choice in paths.rests_on(thing):
                yield from (step.id for _, _, step in self._settled_by.get(choice, ()))
