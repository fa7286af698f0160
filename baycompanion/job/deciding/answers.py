"""What each verb takes for an answer, and what comes of it."""

from collections.abc import Callable
from datetime import date
from typing import Any

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.answering import allow, answered, lines_ticked
from baycompanion.job.deciding.choosing import chosen_by_lines, refuse_no_answer
from baycompanion.job.deciding.comparing import counted, entered_again, inspected
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.deciding.late import happened, seconds_on_paper
from baycompanion.job.deciding.measuring import measured
from baycompanion.job.deciding.summing import as_input, input_called, worked
from baycompanion.job.deciding.witnessing import witnessed
from baycompanion.job.events.kinds import Answered, Weight
from baycompanion.job.state.gates import Missing
from baycompanion.job.state.state import StepTrack
from baycompanion.job.state.timing import clock_at
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Do,
    Record,
    Step,
    Sum,
    Wait,
)
from baycompanion.text.duration import countdown, write_duration
from baycompanion.text.problem import quoted
from baycompanion.text.reading import parse_reading, write_number
from baycompanion.trade.stations import off_grid, tidy_station

KEPT_PRIVATE = "noted, kept with the keys"
"""What the journal holds in place of a private entry."""

_REASONED = ("not done", "could not test")


def judge(draft: Draft, step: Step, action: Answer) -> Answered:
    """Return what comes of answering `step` with `action`, or refuse."""
    if action.outcome in _REASONED and not action.words:
        refuse(f"{action.outcome.capitalize()}: say why in a few words.")
    came = _JUDGES[step.verb](draft, step, action)
    return came.model_copy(update=happened(draft, action))


def wait_left(step: Wait, clock: int, track: StepTrack, since: StepTrack | None) -> int | None:
    """Return the whole seconds `step` still has to run, or None while its length is not known.

    `clock` is the job's clock in milliseconds; `since` is the track of the step whose finish
    starts the wait, None where the wait starts its own clock.
    """
    lasts = track.wait.seconds if track.wait is not None else step.lasts
    if lasts is None:
        return None
    start = since.finished_clock if since is not None else track.begun_clock
    if start is None:
        start = track.begun_clock if track.begun_clock is not None else clock
    return max(0, -((clock - start) // 1000 - lasts))


def _do(draft: Draft, step: Do, action: Answer) -> Answered:
    outcome = allow(step, action, "done", "not done") or "done"
    if outcome == "not done":
        return answered(step, action, outcome, "neutral")
    if not step.each:
        return answered(step, action, "done", "good")
    if lines_ticked(draft, step):
        return answered(step, action, "incomplete", "neutral")
    return answered(step, action, "done", "good")


def _check(draft: Draft, step: Check, action: Answer) -> Answered:
    outcome = allow(step, action, "passed", "failed", "not fitted", "could not test")
    if outcome is None:
        refuse("Say passed, failed, not fitted or could not test.")
    weights: dict[str, Weight] = {"passed": "good", "failed": "bad"}
    return answered(step, action, outcome, weights.get(outcome, "neutral"))


def _record(draft: Draft, step: Record, action: Answer) -> Answered:
    outcome = allow(step, action, "not done")
    if outcome is not None:
        return answered(step, action, outcome, "neutral")
    if step.takes in ("list", "stations"):
        return _record_list(draft, step, action)
    text = (action.value or "").strip()
    if not text:
        refuse("Nothing is entered yet. Type it in.")
    if step.private:
        return answered(step, action, "recorded", "good", words=KEPT_PRIVATE)
    number = None
    if step.takes == "number":
        try:
            reading = parse_reading(text, step.unit or "")
        except ValueError as error:
            refuse(f"{error}.")
        text, number = reading.text, write_number(reading.number)
    if step.takes == "date":
        _check_date(text)
    return entered_again(draft, step, action, [text], words=text, number=number, unit=step.unit)


def _record_list(draft: Draft, step: Record, action: Answer) -> Answered:
    entries = [entry for entry in action.entries or () if entry]
    if not entries and not step.may_be_empty:
        refuse("The list is empty. Enter at least one line.")
    if step.private:
        return answered(step, action, "recorded", "good", words=KEPT_PRIVATE)
    if step.takes == "stations":
        return _record_stations(draft, step, action, entries)
    return entered_again(draft, step, action, entries, entries=entries)


def _record_stations(draft: Draft, step: Record, action: Answer, entries: list[str]) -> Answered:
    """Return the stations in one spelling, with a word on each that stands on no station's place.

    It is a warning only: the radio may have come from another region.
    """
    stations = [tidy_station(entry) for entry in entries]
    region = draft.state.figures.get("region", "")
    warned = [said for station in stations if (said := off_grid(station, region))]
    came = entered_again(draft, step, action, stations, entries=stations)
    if not warned:
        return came
    return came.model_copy(
        update={"details": {**(came.details or {}), "warning": " ".join(warned)}}
    )


def _check_date(text: str) -> None:
    try:
        date.fromisoformat(text)
    except ValueError:
        refuse(f"{quoted(text)} is no date. Type it like 2026-11-25.")


def _sum(draft: Draft, step: Sum, action: Answer) -> Answered:
    outcome = allow(step, action, "could not test")
    if outcome is not None:
        return answered(step, action, outcome, "neutral")
    given = {}
    for name, value in step.inputs.items():
        if isinstance(value, str):
            given[name] = value
            continue
        earlier = draft.state.track(value.answer).last
        if earlier is None or earlier.weight == "neutral" or not (earlier.number or earlier.words):
            source = draft.procedure.steps[value.answer]
            refuse(
                f"“{input_called(step, name)}”: its step has no reading.",
                Missing(source.text, source.id),
                "Or answer could not test, and say why.",
            )
        said = earlier.number or earlier.words
        given[name] = as_input(said, earlier.unit if earlier.number else None)
    came = worked(draft, step, given)
    details = {**came.inputs, **came.results, "because": came.because, "shown": came.shown}
    return answered(step, action, came.verdict, came.verdict, details=details)


def _choose(draft: Draft, step: Choose, action: Answer) -> Answered:
    allow(step, action)
    if step.by_lines:
        return chosen_by_lines(draft, step, action)
    [choice] = draft.procedure.settled_by(step)
    value = (action.value or "").strip()
    refuse_no_answer(choice, value)
    return answered(step, action, "chosen", "good", words=value, settles=choice.choice)


def _wait(draft: Draft, step: Wait, action: Answer) -> Answered:
    allow(step, action, "done")
    track = draft.state.track(step.id)
    since = draft.state.track(step.since) if step.since else None
    left = wait_left(step, clock_at(draft.state, draft.when), track, since)
    if left is None:
        refuse(
            "How long this wait lasts is not known for this vehicle.",
            "Look the time up in the vehicle maker's instructions, and enter it with its source.",
        )
    if left > 0 and not _over_on_paper(draft, step, action):
        refuse(f"The wait still has {countdown(left)} to run. It cannot be shortened here.")
    lasts = track.wait.seconds if track.wait is not None else step.lasts or 0
    source = track.wait.source if track.wait is not None else step.source or ""
    return answered(
        step, action, "over", "good", details={"lasts": write_duration(lasts), "source": source}
    )


def _over_on_paper(draft: Draft, step: Wait, action: Answer) -> bool:
    """Return whether the wait ran out while the job went on by hand, as the paper form says."""
    if not action.on_paper or action.claimed is None:
        return False
    track = draft.state.track(step.id)
    lasts = track.wait.seconds if track.wait is not None else step.lasts or 0
    return seconds_on_paper(draft, step.since, action.claimed) >= lasts


_Judge = Callable[[Draft, Any, Answer], Answered]
_JUDGES: dict[str, _Judge] = {
    "do": _do,
    "check": _check,
    "measure": measured,
    "record": _record,
    "sum": _sum,
    "count": counted,
    "choose": _choose,
    "wait": _wait,
    "inspect": inspected,
    "witness": witnessed,
}
