"""Gates: whether one is met, and if not, what is missing and which step would open it."""

from dataclasses import dataclass

from baycompanion.job.state.order import next_step, step_applies, steps_that_apply
from baycompanion.job.state.sheet import holding_words
from baycompanion.job.state.state import Fault, State, StepTrack
from baycompanion.job.state.words import details_words
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
from baycompanion.procedure.paths import applies
from baycompanion.procedure.steps import Applying, Choose, Count, Inspect, Step


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing a gate still waits for, in words, with the step that would settle it."""

    words: str
    step: str | None = None
    fault: int | None = None
    """The number of the fault that is to be cleared, where that is what is missing."""
    of_answer: bool = False
    """Whether the words tell how that step came out, and nothing else."""


Missings = tuple[Missing, ...] | None
"""What is missing: nothing when empty, and None where the condition does not apply at all."""


def missing(procedure: Procedure, state: State, gate: Gate) -> tuple[Missing, ...]:
    """Return what `gate` still waits for; nothing when it is met or does not apply.

    A condition on a step that does not apply to this vehicle counts neither for nor against.
    """
    if not applies(gate, state.choices):
        return ()
    return _all(procedure, state, gate.until) or ()


def gate_applies(procedure: Procedure, state: State, gate: Gate) -> bool:
    """Return whether `gate` belongs to the job: by its own choices, and by what it holds."""
    return applies(gate, state.choices) and any(
        gate.gate == each.gate
        for step in steps_that_apply(procedure, state)
        for each in procedure.gates_on[step.id]
    )


def gates_holding(procedure: Procedure, state: State) -> tuple[str, ...]:
    """Return the gates that hold the job right now, none while a step is in hand."""
    if state.current is not None:
        return ()
    gates = gates_before(procedure, state, next_step(procedure, state))
    return tuple(gate.gate for gate in gates if _standing(state, gate) == "held")


def gates_before(procedure: Procedure, state: State, step: Step | None) -> tuple[Gate, ...]:
    """Return the gates to pass before `step` begins, or before the end where there is none left.

    Besides those that hold `step`, they are those behind it that are not open any more: what
    they rest on was reopened, so the work beyond them waits for them again.
    """
    number = procedure.number[step.id] if step is not None else len(procedure.steps) + 1
    wanted = {gate.gate for gate in procedure.gates_on[step.id]} if step is not None else set()
    for name, gates in procedure.gates_on.items():
        if not gates or procedure.number[name] >= number:
            continue
        shut = {gate.gate for gate in gates if _standing(state, gate) not in _PASSED}
        if shut and step_applies(procedure, state, procedure.steps[name]):
            wanted |= shut
    return tuple(
        gate
        for name, gate in procedure.all_gates.items()
        if name in wanted and applies(gate, state.choices)
    )


_PASSED = ("open", "overridden")


def _standing(state: State, gate: Gate) -> str | None:
    track = state.gates.get(gate.gate)
    return track.standing if track is not None else None


def rests_on_step(gate: Gate, step: str) -> bool:
    """Return whether a condition of `gate` names `step`."""
    return any(step_named(condition) == step for condition in leaves(gate.until))


def gates_resting_on(procedure: Procedure, step: Step) -> tuple[Gate, ...]:
    """Return the gates that reopening `step` shuts, had they been open: none is left out.

    They name it, or it stages what they need on the bench, or the choice that it settles switches
    them or what they wait for.
    """
    choices = step.settles if isinstance(step, Choose) else ()
    return tuple(
        gate
        for gate in procedure.all_gates.values()
        if rests_on_step(gate, step.id)
        or _is_staged_by(procedure, gate, step.id)
        or any(_turns_on(procedure, gate, choice) for choice in choices)
    )


def _is_staged_by(procedure: Procedure, gate: Gate, step: str) -> bool:
    """Return whether `step` ticks off things that `gate` needs on the bench."""
    return any(
        needed and step in procedure.staging[what]
        for condition in leaves(gate.until)
        if isinstance(condition, OnBench)
        for what, needed in procedure.needed_by(condition.on_bench).items()
    )


def _turns_on(procedure: Procedure, gate: Gate, choice: str) -> bool:
    """Return whether `choice` switches `gate`, or a step or a thing that it waits for."""
    switched: list[Applying] = [gate]
    for condition in leaves(gate.until):
        if isinstance(condition, OnBench):
            for things in procedure.needed_by(condition.on_bench).values():
                switched += things
        name = step_named(condition)
        if name is not None:
            switched += [procedure.steps[name], procedure.phase_of[name]]
    return any(choice in (*thing.when, *thing.unless) for thing in switched)


def _missing(procedure: Procedure, state: State, condition: Condition) -> Missings:
    if isinstance(condition, AllOf):
        return _all(procedure, state, tuple(condition.all))
    if isinstance(condition, AnyOf):
        return _any(procedure, state, tuple(condition.any))
    if isinstance(condition, NoOpenFault):
        return _open_faults(procedure, state, condition)
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


def _open_faults(procedure: Procedure, state: State, condition: NoOpenFault) -> Missings:
    """Return the faults that count; the step of one may be gone by a newer revision."""
    return tuple(
        Missing(
            f"Fault {fault.number} is open: {fault.words}",
            fault.step if fault.step in procedure.steps else None,
            fault.number,
        )
        for fault in state.faults
        if fault.open and _counts(procedure, state, condition, fault)
    )


def _counts(procedure: Procedure, state: State, condition: NoOpenFault, fault: Fault) -> bool:
    """Return whether `fault` holds a gate by `condition`."""
    if condition.no_open_fault == "any":
        return True
    elsewhere = condition.no_open_fault == "other" and _held_elsewhere(procedure, state, fault)
    return fault.cause == "work" and not elsewhere


def _held_elsewhere(procedure: Procedure, state: State, fault: Fault) -> bool:
    """Return whether `fault` is what a comparison found which a gate of its own waits for.

    It is not where it was only raised meanwhile. And once the comparison agrees, its gate lets
    everything pass: what is still open then counts like any other fault.
    """
    if fault.step is None:
        return False
    track = state.track(fault.step)
    found = fault.item is not None or track.settled == fault.number
    return found and not track.good and _waited_for(procedure, state, fault.step)


def _waited_for(procedure: Procedure, state: State, step: str) -> bool:
    """Return whether a gate that belongs to the job waits for `step` to agree."""
    return any(
        isinstance(leaf, Matching) and leaf.matching == step
        for gate in procedure.gates
        if gate_applies(procedure, state, gate)
        for leaf in leaves(gate.until)
    )


def _off_bench(procedure: Procedure, state: State, phase: str) -> Missings:
    found = []
    for what, needed in procedure.needed_by(phase).items():
        staging = procedure.staging[what]
        ticks = [state.track(step).ticks for step in staging]
        for thing in needed:
            if not applies(thing, state.choices):
                continue
            item = thing.tool if isinstance(thing, Tool) else thing.part
            last = next((tick[item] for tick in reversed(ticks) if item in tick), None)
            if last is None or last.answer.weight != "good":
                said = f"{thing.name}: {last.answer.outcome if last else 'not ticked off'}"
                found.append(Missing(said, staging[-1] if staging else None))
    return tuple(found)


def _not_good(procedure: Procedure, state: State, name: str) -> Missings:
    step, track = procedure.steps[name], state.track(name)
    if not step_applies(procedure, state, step):
        return None
    if track.good or track.provisional:
        return ()
    words = f"{procedure.number[name]}. {step.text} {_said(procedure, step, track)}."
    return (Missing(words, name, of_answer=True),)


def _said(procedure: Procedure, step: Step, track: StepTrack) -> str:
    """Return how `step` came out, and which of its lines are to blame.

    A count says which panel what is left over belongs to.
    """
    last = track.last
    if last is None:
        return "Not answered yet"
    outcome = last.outcome.capitalize()
    if isinstance(step, Count) and last.details:
        return f"{outcome}: {'; '.join(details_words(procedure, step, last.details))}"
    if isinstance(step, Inspect) and last.details:
        said = holding_words(procedure, step, last.details)
        return f"{said[0].upper()}{said[1:]}" if said else outcome
    return outcome
