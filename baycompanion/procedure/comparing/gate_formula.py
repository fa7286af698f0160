"""What a gate waits for, as a formula without “not”, and the smallest sets of things that shut it.

The formula is that of one way in which the choices of a job come out: a condition on a step that
does not apply then counts neither for nor against, as in a job.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

from baycompanion.procedure.conditions import (
    AllOf,
    AnyOf,
    Condition,
    Matching,
    NoOpenFault,
    OnBench,
    leaves,
    step_named,
)
from baycompanion.procedure.model import Gate, Procedure, Tool
from baycompanion.procedure.paths import Answers, applies, step_applies
from baycompanion.procedure.steps import Witness

MOST_CLAUSES = 512
"""How many of the smallest sets that shut a gate are looked at before nothing is told of it."""
MENTOR = "(mentor)"
"""Stands among the choices for whether somebody stands beside a trainee; no choice is named so."""


class Part(NamedTuple):
    """One thing that a gate waits for."""

    kind: Literal["step", "tool", "part", "fault", "fault-at"]
    name: str
    """The id of a step, a tool or a part; `found` or `work` for a fault; the sheet it was found by
    for one of a comparison."""
    staged: tuple[str, ...] = ()
    """For a tool or a part, the steps that tick it off."""


@dataclass(frozen=True, slots=True)
class Several:
    """Every one of these, or at least one of them."""

    every: bool
    of: tuple["Formula", ...]


Formula = Part | Several | None
"""What a gate waits for; None counts neither for nor against."""
OPEN = Several(True, ())


@dataclass(frozen=True, slots=True)
class Reading:
    """A procedure as it is read where its choices come out in one way."""

    procedure: Procedure
    sheets: tuple[str, ...]
    """The comparisons that a gate of either procedure waits for."""
    way: Answers

    def of_gate(self, gate: Gate) -> Formula:
        """Return what `gate` waits for."""
        if not applies(gate, self.way):
            return OPEN
        return self._several(True, gate.until) or OPEN

    def _several(self, every: bool, conditions: Iterable[Condition]) -> Formula:
        found = [self._of(condition) for condition in conditions]
        counting = tuple(each for each in found if each is not None)
        return Several(every, counting) if counting else None

    def _of(self, condition: Condition) -> Formula:
        if isinstance(condition, AllOf):
            return self._several(True, condition.all)
        if isinstance(condition, AnyOf):
            return self._several(False, condition.any)
        if isinstance(condition, NoOpenFault):
            return Several(True, self._faults(condition))
        if isinstance(condition, OnBench):
            return Several(True, self._on_bench(condition.on_bench))
        name = str(step_named(condition))
        return Part("step", name) if self._belongs(name) else None

    def _belongs(self, name: str) -> bool:
        step = self.procedure.steps[name]
        alone = isinstance(step, Witness) and step.by_mentor and self.way.get(MENTOR) == "no"
        return step_applies(self.procedure, name, self.way) and not alone

    def _on_bench(self, phase: str) -> tuple[Part, ...]:
        return tuple(
            Part("tool", thing.tool, self.procedure.staging[what])
            if isinstance(thing, Tool)
            else Part("part", thing.part, self.procedure.staging[what])
            for what, needed in self.procedure.needed_by(phase).items()
            for thing in needed
            if applies(thing, self.way)
        )

    def _faults(self, condition: NoOpenFault) -> tuple[Part, ...]:
        """Return the faults that count; those of a comparison by where they were found."""
        waited = self._waited_for() if condition.no_open_fault == "other" else set()
        found = [Part("fault", "found")] if condition.no_open_fault == "any" else []
        compared = [Part("fault-at", sheet) for sheet in self.sheets if sheet not in waited]
        return (*found, Part("fault", "work"), *compared)

    def _waited_for(self) -> set[str]:
        """Return the comparisons that a gate which belongs to the job waits for."""
        return {
            leaf
            for gate in self.procedure.gates
            if applies(gate, self.way) and any(map(self._belongs, held_by(self.procedure, gate)))
            for leaf in compared_by(gate)
        }


def compared_by(gate: Gate) -> Iterator[str]:
    """Return the comparisons that `gate` waits for."""
    return (leaf.matching for leaf in leaves(gate.until) if isinstance(leaf, Matching))


def clauses_of(formula: Formula) -> set[frozenset[Part]] | None:
    """Return the smallest sets of parts that shut `formula`; None where there are too many."""
    if formula is None:
        return set()
    if isinstance(formula, Part):
        return {frozenset((formula,))}
    found: set[frozenset[Part]] = set() if formula.every else {frozenset()}
    for part in formula.of:
        clauses = clauses_of(part)
        if clauses is None:
            return None
        if formula.every:
            found |= clauses
        else:
            found = {one | other for one in found for other in clauses}
        if len(found) > MOST_CLAUSES:
            return None
    return {one for one in found if not any(other < one for other in found)}


def is_open(formula: Formula, shut: frozenset[Part]) -> bool:
    """Return whether `formula` is met with `shut` missing and everything else good."""
    if formula is None:
        return True
    if isinstance(formula, Part):
        return formula not in shut
    return (all if formula.every else any)(is_open(part, shut) for part in formula.of)


def with_comparisons(clause: frozenset[Part]) -> frozenset[Part]:
    """Return `clause` with the comparisons that cannot agree while their own fault is open."""
    return clause | {Part("step", part.name) for part in clause if part.kind == "fault-at"}


def held_by(procedure: Procedure, gate: Gate) -> list[str]:
    """Return the steps that `gate` holds, by themselves or with their phase, in order."""
    return [name for name, gates in procedure.gates_on.items() if gate in gates]
