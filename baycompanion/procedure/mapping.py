"""The map of a procedure: its phases, what each gate holds and waits for, row by row.

Steps that no gate holds or waits for are counted together, so that the map stays short.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from baycompanion.procedure.conditions import OnBench, leaves, step_named
from baycompanion.procedure.model import Gate, Phase, Procedure
from baycompanion.procedure.said import condition_said, step_said
from baycompanion.procedure.steps import Step


@dataclass(frozen=True, slots=True)
class PhaseRow:
    """A phase begins."""

    phase: Phase
    number: int
    first: int
    last: int
    """Its first and its last step, counted from 1 over the whole procedure."""


@dataclass(frozen=True, slots=True)
class GateRow:
    """A gate stands here, before a phase or a step that it holds."""

    gate: Gate
    holds: str
    """The phase or the step right behind it, in words."""
    until: tuple[str, ...]
    """What it waits for, in words."""
    again: bool
    """Whether it stood before something else already."""


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step that a gate holds or waits for."""

    step: Step
    number: int
    opens: tuple[str, ...]
    """The gates that wait for it."""


@dataclass(frozen=True, slots=True)
class RestRow:
    """Steps in a row that no gate holds or waits for."""

    first: int
    last: int


Row = PhaseRow | GateRow | StepRow | RestRow


def map_rows(procedure: Procedure) -> tuple[Row, ...]:
    """Return the map of `procedure`, from its first phase to its last step."""
    return tuple(_rows(procedure))


def _rows(procedure: Procedure) -> Iterator[Row]:
    opened_by = _opened_by(procedure)
    held = {name for gate in procedure.all_gates.values() for name in gate.holds}
    seen: set[str] = set()
    for number, phase in enumerate(procedure.phases, start=1):
        numbers = [procedure.number[step.id] for step in phase.steps]
        yield PhaseRow(phase, number, numbers[0], numbers[-1])
        yield from _gates(procedure, phase.phase, seen)
        for bare, steps in groupby(
            phase.steps, lambda step: step.id not in held and step.id not in opened_by
        ):
            if bare:
                some = [procedure.number[step.id] for step in steps]
                yield RestRow(some[0], some[-1])
                continue
            for step in steps:
                yield from _gates(procedure, step.id, seen)
                opens = opened_by.get(step.id, ())
                yield StepRow(step, procedure.number[step.id], opens)


def _gates(procedure: Procedure, name: str, seen: set[str]) -> Iterator[GateRow]:
    """Yield the gates that name the phase or the step called `name`."""
    for gate in procedure.all_gates.values():
        if name in gate.holds:
            until = tuple(condition_said(procedure, condition) for condition in gate.until)
            yield GateRow(gate, step_said(procedure, name), until, gate.gate in seen)
            seen.add(gate.gate)


def _opened_by(procedure: Procedure) -> dict[str, tuple[str, ...]]:
    """Return the gates that wait for each step, by its id."""
    found: dict[str, tuple[str, ...]] = {}
    for gate in procedure.all_gates.values():
        for name in dict.fromkeys(waited_for(procedure, gate)):
            found[name] = (*found.get(name, ()), gate.gate)
    return found


def waited_for(procedure: Procedure, gate: Gate) -> Iterator[str]:
    """Yield the steps that `gate` rests on, those that stage what it needs included."""
    for leaf in leaves(gate.until):
        name = step_named(leaf)
        if name is not None:
            yield name
        if isinstance(leaf, OnBench):
            for what, needed in procedure.needed_by(leaf.on_bench).items():
                if needed:
                    yield from procedure.staging[what]
