"""Where a gate is easier to get past in one procedure than in another, and by what.

A gate is weaker where one of the smallest sets of things that shut the old one, everything else
being good, does not shut the new one; so no state in which the old gate was shut and the new one is
open is left untold.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product
from typing import Literal

from baycompanion.procedure import model
from baycompanion.procedure.comparing.asking_less import asks_less
from baycompanion.procedure.comparing.gate_formula import (
    MENTOR,
    Part,
    Reading,
    clauses_of,
    compared_by,
    held_by,
    is_open,
    with_comparisons,
)
from baycompanion.procedure.conditions import NoOpenFault, OnBench, leaves, step_named
from baycompanion.procedure.model import Gate, Procedure, Tool
from baycompanion.procedure.paths import Answers, rests_on, with_phase
from baycompanion.procedure.steps import Applying, Witness

MOST_WAYS = 4096
"""How many ways the choices can come out before nothing is told about one gate any more."""
Kind = Literal["gone", "sooner", "override", "holds-less", "before-it", "asks-less", "not-told"]
EASE = {"nobody": 0, "supervisor": 1, "technician": 2}
"""How many people may override a gate, by what it says."""


@dataclass(frozen=True, slots=True)
class Weakening:
    """One way in which a gate is easier to get past than before."""

    gate: str
    kind: Kind
    parts: tuple[Part, ...] = ()
    """What may be missing now while the gate opens, and shut it before (`sooner`)."""
    where: Mapping[str, str] = field(default_factory=dict)
    """The answers to choices with which it is so; empty where none of them matters."""
    steps: tuple[str, ...] = ()
    """The steps that it held and holds no more (`gone`, `holds-less`), that come before it now
    (`before-it`), or the one that asks for less (`asks-less`)."""
    about: str = ""
    was: str = ""
    now: str = ""


def weakened(old: Procedure, new: Procedure) -> tuple[Weakening, ...]:
    """Return every way in which a gate of `old` is weaker in `new`, gates in their order."""
    return tuple(
        each for gate in old.all_gates.values() for each in _weaker(old, new, gate, new.all_gates)
    )


def _weaker(
    old: Procedure, new: Procedure, gate: Gate, gates: Mapping[str, Gate]
) -> Iterator[Weakening]:
    name = gate.gate
    held = held_by(old, gate)
    now = gates.get(name)
    if now is None:
        yield Weakening(name, "gone", steps=tuple(held))
        return
    yield from _sooner(old, new, gate, now)
    if EASE[now.override] > EASE[gate.override]:
        yield Weakening(name, "override", was=gate.override, now=now.override)
    still = set(held_by(new, now))
    left_out = tuple(step for step in held if step in new.steps and step not in still)
    if left_out:
        yield Weakening(name, "holds-less", steps=left_out)
    before_it = _before_it(old, new, held, held_by(new, now))
    passed = tuple(step for step in before_it if step not in left_out)
    if passed:
        yield Weakening(name, "before-it", steps=passed)
    waited = dict.fromkeys(step_named(leaf) for leaf in leaves(gate.until))
    still_waited = {step_named(leaf) for leaf in leaves(now.until)}
    for step in waited:
        if step is not None and step in still_waited and step in old.steps and step in new.steps:
            for about, was, is_now in asks_less(old, new, step):
                yield Weakening(name, "asks-less", steps=(step,), about=about, was=was, now=is_now)


def _before_it(
    old: Procedure, new: Procedure, held: list[str], holds: list[str]
) -> tuple[str, ...]:
    """Return the steps that came only after the gate and come before it now."""
    if not held or not holds:
        return ()
    first, now_first = old.number[held[0]], new.number[holds[0]]
    return tuple(
        name
        for name, number in old.number.items()
        if number >= first and name in new.number and new.number[name] < now_first
    )


def _sooner(old: Procedure, new: Procedure, gate: Gate, now: Gate) -> Iterator[Weakening]:
    """Yield each smallest set of things that may be missing now, with the answers it takes."""
    ways = _ways(old, new, gate, now)
    untold = _rests(old, gate) != _rests(new, now)
    if ways is None:
        if untold:
            yield Weakening(gate.gate, "not-told")
        return
    told: set[frozenset[Part]] = set()
    gates = (*old.gates, *new.gates)
    sheets = tuple(dict.fromkeys(sheet for each in gates for sheet in compared_by(each)))
    for way in ways:
        shut_by = clauses_of(Reading(old, sheets, way).of_gate(gate))
        if shut_by is None:
            if untold:
                yield Weakening(gate.gate, "not-told")
            return
        after = Reading(new, sheets, way).of_gate(now)
        for clause in sorted(shut_by, key=lambda each: (len(each), sorted(each))):
            if not any(each <= clause for each in told) and is_open(
                after, with_comparisons(clause)
            ):
                told.add(clause)
                yield Weakening(gate.gate, "sooner", tuple(sorted(clause)), way)


def _ways(old: Procedure, new: Procedure, gate: Gate, now: Gate) -> list[Answers] | None:
    """Return every way in which the choices behind a gate can come out, the barest first.

    A choice that is not settled yet is left out of a way. None where there are too many.
    """
    asked = {MENTOR: ("no",)} if any(map(_has_mentor, (old, new))) else {}
    names = {
        name
        for procedure, one in ((old, gate), (new, now))
        for thing in _switched(procedure, one)
        for name in rests_on(thing)
    }
    answers: dict[str, tuple[str, ...]] = dict(asked)
    for name in sorted(names):
        given = [c.answers for p in (old, new) for c in p.choices if c.choice == name]
        answers[name] = tuple(dict.fromkeys(each for some in given for each in some))
    count = 1
    for some in answers.values():
        count *= len(some) + 1
    if count > MOST_WAYS:
        return None
    ways = [
        {name: answer for name, answer in zip(answers, way, strict=True) if answer is not None}
        for way in product(*((None, *some) for some in answers.values()))
    ]
    return sorted(ways, key=len)


def _rests(procedure: Procedure, gate: Gate) -> object:
    """Return all that bears on when `gate` opens, to tell whether any of it was changed."""
    switched = [(thing.when, thing.unless, _name(thing)) for thing in _switched(procedure, gate)]
    others = any(
        isinstance(leaf, NoOpenFault) and leaf.no_open_fault == "other"
        for leaf in leaves(gate.until)
    )
    return gate.until, switched, procedure.staging, procedure.gates if others else ()


def _name(thing: Applying) -> str:
    """Return the name of a tool or a part, which has to be on the bench itself."""
    if isinstance(thing, Tool):
        return thing.tool
    return thing.part if isinstance(thing, model.Part) else ""


def _has_mentor(procedure: Procedure) -> bool:
    return any(isinstance(step, Witness) and step.by_mentor for step in procedure.steps.values())


def _switched(procedure: Procedure, gate: Gate) -> Iterator[Applying]:
    """Yield all whose choices bear on what `gate` waits for."""
    yield gate
    for leaf in leaves(gate.until):
        name = step_named(leaf)
        if name is not None:
            yield from with_phase(procedure, name)
        if isinstance(leaf, OnBench):
            for needed in procedure.needed_by(leaf.on_bench).values():
                yield from needed
        if isinstance(leaf, NoOpenFault) and leaf.no_open_fault == "other":
            for each in procedure.gates:
                if any(compared_by(each)):
                    yield each
                    for step in held_by(procedure, each):
                        yield from with_phase(procedure, step)
