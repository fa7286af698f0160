"""Gates: whether one is met, and if not, what is missing and which step would open it."""

from dataclasses import dataclass

from baycompanion.job.order import applies, next_step, step_applies
from baycompanion.job.state import State
from baycompanion.procedure.conditions import (
    AllOf,
    AnyOf,
    Condition,
    NoOpenFault,
    OnBench,
    leaves,
    step_named,
)
from baycompanion.procedure.model import Gate, Procedure


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing a gate still waits for, in words, with the step that would settle it."""

    words: str
    step: str | None = None


Missings = tuple[Missing, ...] | None
"""What is missing: nothing when empty, and None where the condition does not apply at all."""


def missing(procedure: Procedure, state: State, gate: Gate) -> tuple[Missing, ...]:
    """Return what `gate` still waits for; nothing when it is met or does not apply.

    A condition on a step that does not apply to this vehicle counts neither for nor against.
    """
    if not applies(gate, state.choices):
        return ()
    return _all(procedure, state, gate.until) or ()


def gates_holding(procedure: Procedure, state: State) -> tuple[str, ...]:
    """Return the gates that hold the job right now, none while a step is in hand."""
    step = next_step(procedure, state)
    if step is None or state.current is not None:
        return ()
    return tuple(
        gate.gate
        for gate in procedure.gates_on[step.id]
        if gate.gate in state.gates and state.gates[gate.gate].standing == "held"
    )


def rests_on_step(gate: Gate, step: str) -> bool:
    """Return whether a condition of `gate` names `step`."""
    return any(step_named(condition) == step for condition in leaves(gate.until))


def _missing(procedure: Procedure, state: State, condition: Condition) -> Missings:
    if isinstance(condition, AllOf):
        return _all(procedure, state, tuple(condition.all))
    if isinstance(condition, AnyOf):
        return _any(procedure, state, tuple(condition.any))
    if isinstance(condition, NoOpenFault):
        return _open_faults(state, condition)
    if isinstance(condition, OnBench):
        return _off_bench(procedure, state, condition.on_bench)
    return _not_good(procedure, state, str(step_named(condition)))


def _all(procedure: Procedure, state: State, conditions: tuple[Condition, ...]) -> Missings:
    found = [_missing(procedure, state, condition) for condition in conditions]
    counting = [each for each in found if each is not None]
    return tuple(thing for each in counting for thing in each) if counting else None


def _any(procedure: Procedure, state: State, conditions: tuple[Condition, ...]) -> Missings:
    found = [_missing(procedure, state, condition) for condition in conditions]
    counting = [each for each in found if each is not None]
    if not counting:
        return None
    if () in counting:
        return ()
    words = " — or — ".join(thing.words for each in counting for thing in each)
    return (Missing(words, next((thing.step for each in counting for thing in each), None)),)


def _open_faults(state: State, condition: NoOpenFault) -> Missings:
    return tuple(
        Missing(f"Fault {fault.number} is open: {fault.words}", fault.step)
        for fault in state.faults
        if fault.open and (condition.no_open_fault == "any" or fault.cause == "work")
    )


def _off_bench(procedure: Procedure, state: State, phase: str) -> Missings:
    names = {tool.tool: tool.name for tool in procedure.tools}
    names |= {part.part: part.name for part in procedure.parts}
    found = []
    for what, needed in procedure.needed_by(phase).items():
        staging = procedure.staging[what]
        ticks = [state.track(step).ticks for step in staging]
        for item in needed:
            last = next((tick[item] for tick in reversed(ticks) if item in tick), None)
            if last is None or last.answer.weight != "good":
                said = f"{names[item]}: {last.answer.outcome if last else 'not ticked off'}"
                found.append(Missing(said, staging[-1] if staging else None))
    return tuple(found)


def _not_good(procedure: Procedure, state: State, name: str) -> Missings:
    step, track = procedure.steps[name], state.track(name)
    if not step_applies(procedure, state, step):
        return None
    if track.good:
        return ()
    said = track.last.outcome if track.last is not None else "not answered yet"
    return (Missing(f"{procedure.number[name]}. {step.text} {said.capitalize()}.", name),)
