"""What must be true before a gate: one of its conditions, among some that it does not wait for."""

from collections.abc import Iterable, Iterator

from baycompanion.learning.drill.asked import About, Option, Picked, Right, near_and_far, picked
from baycompanion.learning.drill.condition_words import condition_words, gone_well
from baycompanion.learning.drill.question_words import said, vehicle_lines
from baycompanion.learning.orders.holds import Holds
from baycompanion.learning.orders.reach import Reach
from baycompanion.procedure.conditions import AllOf, Condition, OnBench, leaves, step_named
from baycompanion.procedure.model import Gate, Part, Procedure, Tool
from baycompanion.procedure.paths import with_phase
from baycompanion.procedure.walk import held_by


def about_gates(holds: Holds) -> Iterator[Picked]:
    """Yield a question for each gate of the file, and for each phase that needs things staged."""
    written = {gate.gate for gate in holds.procedure.gates}
    for gate in holds.procedure.all_gates.values():
        held = _held_first(holds, gate)
        if held and _leads_somewhere(holds.procedure, gate):
            ask = _question if gate.gate in written else _on_bench
            question = ask(holds, gate, held)
            if question is not None:
                yield question


def _held_first(holds: Holds, gate: Gate) -> list[str]:
    """Return the steps before which the gate may be met: those up to one that always applies."""
    held = held_by(holds.procedure, gate.holds)
    always = (place for place, name in enumerate(held) if not holds.together.bearing((name,)))
    return held[: next(always, len(held)) + 1]


def _leads_somewhere(procedure: Procedure, gate: Gate) -> bool:
    """Return whether all that `gate` waits for is there; `check` tells of one where it is not."""
    for leaf in leaves(gate.until):
        name, steps, phases = step_named(leaf), procedure.steps, procedure.phase_named
        if (name is not None and name not in steps) or (
            isinstance(leaf, OnBench) and leaf.on_bench not in phases
        ):
            return False
    return True


def _question(holds: Holds, gate: Gate, held: list[str]) -> Picked | None:
    procedure, first = holds.procedure, held[-1]
    conditions = tuple(_each(gate.until))
    certain = [each for each in conditions if _counts_always(holds, each, first)]
    told = certain or list(conditions)
    waited = {name for leaf in leaves(gate.until) if (name := step_named(leaf)) is not None}
    phases = {procedure.phase_of[name].phase for name in (*waited, first)}
    reach = Reach(procedure)
    behind = {first}.union(*(reach.behind(gate, name) for name in held))
    near, far = near_and_far(
        procedure,
        phases,
        first,
        lambda step: step.id not in behind and holds.together.ever((first, step.id)),
    )
    return picked(
        About(procedure, "gate", procedure.phase_of[first].phase, gate=gate.gate),
        "Which of these does this gate wait for?",
        (f"Gate: {gate.gate}", *_held(procedure, gate), *vehicle_lines(procedure, (first,))),
        [_right(procedure, gate, each) for each in told],
        [[Option(step.id, gone_well(step)) for step in steps] for steps in (near, far)],
        [condition_words(procedure, each)[1] for each in conditions],
    )


def _right(procedure: Procedure, gate: Gate, condition: Condition) -> Right:
    """Return `condition` as a right answer, on a vehicle on which what it waits for applies."""
    steps = [name for leaf in leaves((condition,)) if (name := step_named(leaf)) is not None]
    lead = vehicle_lines(procedure, steps) if len(steps) == 1 else ()
    return Right(Option(*condition_words(procedure, condition)), gate.because, lead)


def _each(conditions: Iterable[Condition]) -> Iterator[Condition]:
    """Yield what must all be true; of alternatives, all of them together are one thing."""
    for condition in conditions:
        if isinstance(condition, AllOf):
            yield from _each(condition.all)
        else:
            yield condition


def _counts_always(holds: Holds, condition: Condition, first: str) -> bool:
    """Return whether `condition` counts on every vehicle on which the gate is met."""
    steps = [name for leaf in leaves((condition,)) if (name := step_named(leaf)) is not None]
    things = [with_phase(holds.procedure, name) for name in steps]
    return all(holds.together.always((first,), *each) for each in things)


def _held(procedure: Procedure, gate: Gate) -> Iterator[str]:
    for name in gate.holds:
        if name in procedure.phase_named:
            yield f"It holds: {said(procedure.phase_named[name].title)}"
        elif name in procedure.steps:
            yield f"It holds: {said(procedure.steps[name].text)}"


def _on_bench(holds: Holds, gate: Gate, held: list[str]) -> Picked | None:
    procedure, first = holds.procedure, held[-1]
    phases = [leaf.on_bench for leaf in leaves(gate.until) if isinstance(leaf, OnBench)]
    order = [phase.phase for phase in procedure.phases]
    later = order[order.index(phases[0]) + 1 :]
    things: tuple[Tool | Part, ...] = (*procedure.tools, *procedure.parts)
    needed = [thing for thing in things if thing.by == phases[0]]
    rights = [each for each in needed if holds.together.always((first,), each)]
    return picked(
        About(procedure, "gate", phases[0], gate=gate.gate),
        "What must lie on the bench before this phase begins?",
        (said(procedure.phase_named[phases[0]].title), *vehicle_lines(procedure, (first,))),
        [Right(_thing(each), gate.because) for each in rights],
        [[_thing(each) for each in things if each.by in later]],
    )


def _thing(thing: Tool | Part) -> Option:
    return Option(thing.tool if isinstance(thing, Tool) else thing.part, thing.name)
