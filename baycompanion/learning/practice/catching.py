"""Where a planted fault was told, and if nowhere, how it slipped through: read off a journal."""

from collections.abc import Iterator, Sequence

from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Answered, Cause, FaultRaised, Reopened, Ticked
from baycompanion.job.events.practice_kinds import Looked
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.learning.practice.planting import Planted, Spot
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Count, Inspect

_ILL = ("faulty", "marked")
"""How a line of a condition sheet is answered that is not well."""


def caught_at(
    procedure: Procedure, made: MadeUpVehicle, planted: Planted, events: Sequence[Event]
) -> str | None:
    """Return the step at which `planted` was told first, in time; None where it slipped through."""
    for event in events:
        for spot in planted.spots:
            if _tells(procedure, made, spot, event):
                return getattr(event.data, "step", None) or spot.step
        match event.data:
            case Answered(step=step, weight="bad") if step in planted.witnesses:
                return step
    return None


def put_down_as(planted: Planted, events: Sequence[Event]) -> Cause | None:
    """Return what `planted` was first put down as where it was told; None where it was not."""
    for event in events:
        match event.data:
            case FaultRaised(cause=cause) as fault:
                if any(_is_about(fault, spot) for spot in (*planted.spots, *planted.later)):
                    return cause
    return None


def how_it_slipped(
    procedure: Procedure, made: MadeUpVehicle, planted: Planted, events: Sequence[Event]
) -> str:
    """Return how `planted` went by at each step where it shows, in words."""
    said = [_went_by(procedure, spot, events) for spot in planted.spots]
    late = next(
        (spot for spot in planted.later if any(_tells(procedure, made, spot, e) for e in events)),
        None,
    )
    if late is not None:
        step = procedure.steps[late.step].text
        said.append(f"It was told at “{step}” only, where it looks like the work's doing.")
    return " ".join(said)


def steps_not_looked_at(procedure: Procedure, events: Sequence[Event]) -> tuple[str, ...]:
    """Return the steps that were answered without a look at the vehicle, in their order.

    A look counts for the step until it is reopened. What a second person says is not asked.
    """
    blind = {step for step, looked in _answers(events) if not looked}
    return tuple(
        step.id
        for step in procedure.steps.values()
        if step.id in blind and step.verb in ("check", "measure", "count", "inspect")
    )


def _tells(procedure: Procedure, made: MadeUpVehicle, spot: Spot, event: Event) -> bool:
    """Return whether `event` tells what is wrong at `spot`."""
    step = procedure.steps[spot.step]
    match event.data:
        case FaultRaised() as fault:
            return _is_about(fault, spot)
        case Ticked(step=name, item=item, outcome=outcome, marks=marks):
            if (name, item) != (spot.step, spot.line) or outcome not in _ILL:
                return False
            before = step.compares or step.id if isinstance(step, Inspect) else ""
            stood = (before, item) in made.marks  # to tell that one alone is not enough
            return not marks or len(marks) > stood
        case Answered(step=name, weight="bad") as answer if name in spot.steps:
            if isinstance(step, Count):
                return spot.line in (answer.details or {})
            return True
    return False


def _is_about(fault: FaultRaised, spot: Spot) -> bool:
    return fault.step in spot.steps and fault.item in (None, spot.line)


def _went_by(procedure: Procedure, spot: Spot, events: Sequence[Event]) -> str:
    """Return how `spot` was answered, in words."""
    step = procedure.steps[spot.step]
    answer = None
    tick = None
    for event in events:
        match event.data:
            case Ticked(step=name, item=item) if (name, item) == (spot.step, spot.line):
                tick = event.data
            case Answered(step=name) if name == spot.step:
                answer = event.data
    if answer is None:
        return f"“{step.text}” was not reached."
    looked = dict(_answers(events)).get(spot.step, False)
    how = "though it was looked at" if looked else "without a look"
    if tick is None:
        said = f"{answer.number} {answer.unit}" if answer.number else answer.outcome
        return f"“{step.text}” was answered {said}, {how}."
    line = next((item.name for item in procedure.items_of(step) if item.item == spot.line), "")
    counted = f"{tick.count}" if tick.count is not None else tick.outcome
    together = ", by one key with others" if tick.together else ""
    return f"“{line}” at “{step.text}” was answered {counted}{together}, {how}."


def _answers(events: Sequence[Event]) -> Iterator[tuple[str, bool]]:
    """Yield each step that was answered, and whether it was looked at before it."""
    looked: set[str] = set()
    for event in events:
        match event.data:
            case Looked(step=step):
                looked.add(step)
            case Reopened(step=step):
                looked.discard(step)
            case Answered(step=step, weight=weight) if weight != "neutral":
                yield step, step in looked
