"""Looks of a second person: what they find afresh, what is hidden meanwhile, what is still due."""

from collections.abc import Iterable

from baycompanion.job.state.order import step_applies
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Measure, Record, Step, Sum, SumInput, Witness


def found_afresh(procedure: Procedure, step: Witness) -> tuple[Measure | Record, ...]:
    """Return the steps whose readings and entries a second person finds again, without seeing them.

    They are what `step` verifies and was measured, and what a sum was worked from: a sum is right
    only if its inputs are. Who watches the act at the same time finds them there, not again.
    """
    if step.manner == "concurrent":
        return ()
    names = [source for name in step.of for source in _sources(procedure.steps[name])]
    found = [procedure.steps[name] for name in dict.fromkeys(names)]
    return tuple(each for each in found if isinstance(each, Measure | Record))


def taken_afresh(procedure: Procedure, state: State, step: Witness) -> tuple[Measure | Record, ...]:
    """Return those of `found_afresh` that apply to this vehicle and were found at first."""
    return tuple(
        each
        for each in found_afresh(procedure, step)
        if step_applies(procedure, state, each) and first_found(state, each) is not None
    )


def _sources(step: Step) -> Iterable[str]:
    if isinstance(step, Sum):
        return [value.answer for value in step.inputs.values() if isinstance(value, SumInput)]
    return [step.id] if isinstance(step, Measure) else []


def first_found(state: State, step: Step) -> str | None:
    """Return the reading or the words that `step` came to, None where it came to none."""
    answer = state.track(step.id).last
    if answer is None or answer.weight == "neutral":
        return None
    return answer.number or answer.words


def hidden_now(procedure: Procedure, state: State) -> frozenset[str]:
    """Return the steps whose answers nobody may show: a second person is finding them afresh."""
    step = procedure.steps.get(state.current or "")
    if not isinstance(step, Witness) or state.track(step.id).unsettled:
        return frozenset()
    sums = (name for name in step.of if isinstance(procedure.steps[name], Sum))
    return frozenset({*sums, *(each.id for each in taken_afresh(procedure, state, step))})


def workers(state: State, step: Witness) -> dict[str, frozenset[str]]:
    """Return, for each step that `step` verifies, who answered it or a line of it."""
    return {name: state.track(name).worked_by for name in step.of}


def released_for_now(procedure: Procedure, state: State) -> tuple[Witness, ...]:
    """Return what was released without a second person, and nobody else has looked at since."""
    return tuple(
        step
        for step in procedure.steps.values()
        if isinstance(step, Witness) and state.track(step.id).provisional
    )
