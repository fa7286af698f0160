"""The parts of a procedure, each with the path that leads to it in the file."""

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from baycompanion.procedure.conditions import AllOf, AnyOf, Condition
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Applying, Count, Do, Inspect, Item, Step, Sum

Path = tuple[int | str, ...]
"""The keys and list positions that lead from the top of a file to a value."""


class StepAt(NamedTuple):
    """A step, where it stands, and its place in the whole order, counted from 1."""

    path: Path
    step: Step
    number: int


class ApplyingAt(NamedTuple):
    """Something that may depend on choices, with what it lies in."""

    path: Path
    what: Literal["phase", "step", "line", "tool", "part", "gate"]
    thing: Applying
    inside: tuple[Applying, ...]
    """The phase of a step; the phase and the step of a line of it."""
    number: int
    """The first step for which it matters whether it applies."""


def steps_at(procedure: Procedure) -> list[StepAt]:
    """Return every step in order, those whose id stands twice included."""
    steps = (
        (("phases", place, "steps", nth), step)
        for place, phase in enumerate(procedure.phases)
        for nth, step in enumerate(phase.steps)
    )
    return [StepAt(path, step, number) for number, (path, step) in enumerate(steps, start=1)]


def numbers(procedure: Procedure) -> dict[str, int]:
    """Return the place of every step in the whole order; an id that stands twice has its first."""
    found: dict[str, int] = {}
    for at in steps_at(procedure):
        found.setdefault(at.step.id, at.number)
    return found


def items_at(step: Step) -> Iterator[tuple[Path, Item]]:
    """Yield the lines that `step` itself lists, with their path below the step."""
    if isinstance(step, Do):
        key, items = "each", () if isinstance(step.each, str) else step.each
    else:
        key, items = "of", step.of if isinstance(step, Count | Inspect) else ()
    for place, item in enumerate(items):
        yield (key, place), item


def leaves_at(conditions: Iterable[Condition], path: Path) -> Iterator[tuple[Path, Condition]]:
    """Yield the conditions that hold no others, each with its path; `path` leads to the list."""
    for place, condition in enumerate(conditions):
        here = (*path, place)
        if isinstance(condition, AllOf):
            yield from leaves_at(condition.all, (*here, "all"))
        elif isinstance(condition, AnyOf):
            yield from leaves_at(condition.any, (*here, "any"))
        else:
            yield here, condition


def applying_at(procedure: Procedure) -> Iterator[ApplyingAt]:
    """Yield everything that may depend on choices."""
    for at in steps_at(procedure):
        phase = procedure.phases[int(at.path[1])]
        if at.path[3] == 0:
            yield ApplyingAt(at.path[:2], "phase", phase, (), at.number)
        yield ApplyingAt(at.path, "step", at.step, (phase,), at.number)
        for below, item in items_at(at.step):
            yield ApplyingAt((*at.path, *below), "line", item, (phase, at.step), at.number)
    number = numbers(procedure)
    yield from _things_at(procedure, number)
    for place, gate in enumerate(procedure.gates):
        held = [number[step] for step in held_by(procedure, gate.holds)]
        yield ApplyingAt(("gates", place), "gate", gate, (), min(held, default=len(number)))
    for place, line in enumerate(procedure.for_the_owner):
        yield ApplyingAt(("for-the-owner", place), "line", line, (), len(number) + 1)


def _things_at(procedure: Procedure, number: dict[str, int]) -> Iterator[ApplyingAt]:
    """Yield the tools and the parts; whether one applies matters once they are ticked off."""
    ticked = {
        what: min((number[step] for step in steps), default=len(number) + 1)
        for what, steps in procedure.staging.items()
    }
    for place, tool in enumerate(procedure.tools):
        yield ApplyingAt(("tools", place), "tool", tool, (), ticked["tools"])
    for place, part in enumerate(procedure.parts):
        yield ApplyingAt(("parts", place), "part", part, (), ticked["parts"])


def held_by(procedure: Procedure, holds: Iterable[str]) -> list[str]:
    """Return the steps that the names in `holds` stand for, in order; unknown names hold none."""
    held = set(holds)
    for name in holds:
        if name in procedure.phase_named:
            held.update(step.id for step in procedure.phase_named[name].steps)
    return [step for step in procedure.steps if step in held]


def sums_of(procedure: Procedure, step: Step) -> tuple[Sum, ...]:
    """Return the sums that take the answer to `step`."""
    return tuple(
        each
        for each in procedure.steps.values()
        if isinstance(each, Sum)
        and any(getattr(value, "answer", None) == step.id for value in each.inputs.values())
    )
