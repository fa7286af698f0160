"""A reading against its limits, and the instrument that it came from."""

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.answering import allow, answered
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.steps import Measure
from baycompanion.text.reading import parse_reading, write_number


def limits_in_words(step: Measure) -> str:
    """Return the limits of `step` as a person reads them."""
    low, high = step.at_least, step.at_most
    if low is not None and high is not None:
        return f"{write_number(low)} to {write_number(high)} {step.unit}"
    if low is not None:
        return f"{write_number(low)} {step.unit} or more"
    if high is not None:
        return f"{write_number(high)} {step.unit} or less"
    return "no limits"


def measured(draft: Draft, step: Measure, action: Answer) -> Answered:
    """Return the reading with the verdict that the limits give."""
    outcome = allow(step, action, "not fitted", "could not test")
    if outcome is not None:
        return answered(step, action, outcome, "neutral")
    try:
        reading = parse_reading(action.value or "", step.unit)
    except ValueError as error:
        refuse(f"{error}.")
    good = step.is_inside(reading.number)
    return answered(
        step,
        action,
        "inside" if good else "outside",
        "good" if good else "bad",
        words=reading.text,
        number=write_number(reading.number),
        unit=step.unit,
        limits=limits_in_words(step),
        instrument=_instrument(draft, step),
    )


def _instrument(draft: Draft, step: Measure) -> str | None:
    """Return which instrument was staged for `step`, as its label says."""
    if step.instrument is None:
        return None
    for staging in reversed(draft.procedure.staging["tools"]):
        tick = draft.state.track(staging).ticks.get(step.instrument)
        if tick is not None and tick.answer.instrument:
            return tick.answer.instrument
    return None
