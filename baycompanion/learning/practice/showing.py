"""Which planted faults show at a step now: those that were not put right, and are there by then."""

from collections.abc import Iterator, Sequence

from baycompanion.job.state.state import Attempt, State
from baycompanion.learning.practice.planting import Planted, Spot
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Count, Inspect, Step


def showing(
    procedure: Procedure, state: State, planted: Sequence[Planted], step: Step
) -> Iterator[tuple[Planted, Spot]]:
    """Yield the planted faults that show at `step`, each with where.

    What was there before the work stays on the sheet of before the work, whatever becomes of it.
    """
    for each in planted:
        here = [spot for spot in (*each.spots, *each.later) if spot.step == step.id]
        there = bool(here) and not put_right(procedure, state, each)
        for spot in here:
            if there or is_before(procedure, spot):
                yield each, spot


def shows_to_second_person(
    procedure: Procedure, state: State, planted: Sequence[Planted], step: Step
) -> tuple[Planted, ...]:
    """Return the planted faults that a second person finds at `step`: nobody has yet."""
    return tuple(
        each
        for each in planted
        if step.id in each.witnesses and not put_right(procedure, state, each)
    )


def put_right(procedure: Procedure, state: State, planted: Planted) -> bool:
    """Return whether `planted` was told at a step during the work or after it.

    Then it was seen to, as on a real job. What is told on the sheet of before the work is told
    only, and stays as it is.
    """
    spots = (*planted.spots, *planted.later)
    told = any(_told(procedure, state, spot) for spot in spots if not is_before(procedure, spot))
    return told or any(_came_out_badly(state, name) for name in planted.witnesses)


def is_before(procedure: Procedure, spot: Spot) -> bool:
    """Return whether `spot` lies on a condition sheet of before the work."""
    step = procedure.steps[spot.step]
    return isinstance(step, Inspect) and step.compares is None


def _told(procedure: Procedure, state: State, spot: Spot) -> bool:
    """Return whether something was found wrong at `spot`."""
    step = procedure.steps[spot.step]
    raised = any(
        fault.step in spot.steps and (fault.item is None or fault.item == spot.line)
        for fault in state.faults
    )
    if raised or isinstance(step, Inspect):
        return raised
    if isinstance(step, Count):
        attempts = state.track(step.id).attempts
        return any(spot.line in (each.answer.details or {}) for each in attempts if _bad(each))
    return any(_came_out_badly(state, name) for name in spot.steps)


def _came_out_badly(state: State, step: str) -> bool:
    return any(map(_bad, state.track(step).attempts))


def _bad(attempt: Attempt) -> bool:
    return attempt.answer.weight == "bad"
