"""What each verb takes for an answer, and what comes of it."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from baycompanion.job.actions import Answer
from baycompanion.job.draft import Draft, refuse
from baycompanion.job.events import Answered, Cause, FaultRaised, Weight
from baycompanion.job.gates import Missing
from baycompanion.job.moment import write_moment
from baycompanion.job.order import items_that_apply
from baycompanion.job.sheet import Comparison, compare
from baycompanion.job.state import StepTrack
from baycompanion.job.timing import clock_at
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Count,
    Do,
    Inspect,
    Measure,
    Record,
    Step,
    Sum,
    Wait,
    Witness,
)
from baycompanion.text.duration import countdown, write_duration
from baycompanion.text.reading import parse_reading, write_number
from baycompanion.trade.catalogue import work

KEPT_PRIVATE = "noted, kept with the keys"
"""What the journal holds in place of a private entry."""

LATEST_ENTRY = timedelta(days=366)
"""How far back a late entry may reach; what lies further back is a slip of the pen. Own choice."""

_REASONED = ("not done", "could not test")


def judge(draft: Draft, step: Step, action: Answer) -> Answered:
    """Return what comes of answering `step` with `action`, or refuse."""
    if action.outcome in _REASONED and not action.words:
        refuse(f"{action.outcome.capitalize()}: say why in a few words.")
    answered = _JUDGES[step.verb](draft, step, action)
    if action.claimed is None:
        return answered
    if action.claimed > draft.when:
        refuse("The time claimed lies ahead. Type when it was really done.")
    if action.claimed < draft.when - LATEST_ENTRY:
        refuse(f"The time claimed lies more than {LATEST_ENTRY.days} days back. Check the date.")
    return answered.model_copy(update={"claimed": write_moment(action.claimed)})


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


def inside(step: Measure, number: Decimal) -> bool:
    """Return whether `number`, in the unit of `step`, lies inside its limits, ends included."""
    return (step.at_least is None or number >= step.at_least) and (
        step.at_most is None or number <= step.at_most
    )


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


def _plain(step: Step, action: Answer, outcome: str, weight: Weight, **more: Any) -> Answered:
    return Answered(step=step.id, outcome=outcome, weight=weight, **{"words": action.words, **more})


def _allow(step: Step, action: Answer, *outcomes: str) -> str | None:
    """Return the outcome named by `action` if the verb of `step` knows it."""
    if action.outcome is not None and action.outcome not in outcomes:
        known = ", ".join(outcomes) if outcomes else "none; type its value"
        refuse(f"A step to {step.verb} cannot be “{action.outcome}”. It takes: {known}.")
    return action.outcome


def _do(draft: Draft, step: Do, action: Answer) -> Answered:
    outcome = _allow(step, action, "done", "not done") or "done"
    if outcome == "not done":
        return _plain(step, action, outcome, "neutral")
    if not step.each:
        return _plain(step, action, "done", "good")
    if _lines_ticked(draft, step):
        return _plain(step, action, "incomplete", "neutral")
    return _plain(step, action, "done", "good")


def _lines_ticked(draft: Draft, step: Step) -> list[str]:
    """Return the lines whose answer is not good; refuse while one has no answer."""
    items = items_that_apply(draft.procedure, draft.state, step)
    ticks = draft.state.track(step.id).ticks
    unanswered = [item.name for item in items if item.item not in ticks]
    if unanswered:
        count = len(unanswered)
        refuse(
            f"{count} {'line has' if count == 1 else 'lines have'} no answer yet.",
            *unanswered[:6],
        )
    return [item.item for item in items if ticks[item.item].answer.weight != "good"]


def _check(draft: Draft, step: Check, action: Answer) -> Answered:
    outcome = _allow(step, action, "passed", "failed", "not fitted", "could not test")
    if outcome is None:
        refuse("Say passed, failed, not fitted or could not test.")
    weights: dict[str, Weight] = {"passed": "good", "failed": "bad"}
    return _plain(step, action, outcome, weights.get(outcome, "neutral"))


def _measure(draft: Draft, step: Measure, action: Answer) -> Answered:
    outcome = _allow(step, action, "not fitted", "could not test")
    if outcome is not None:
        return _plain(step, action, outcome, "neutral")
    try:
        reading = parse_reading(action.value or "", step.unit)
    except ValueError as error:
        refuse(f"{error}.")
    good = inside(step, reading.number)
    return _plain(
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


def _record(draft: Draft, step: Record, action: Answer) -> Answered:
    outcome = _allow(step, action, "not done")
    if outcome is not None:
        return _plain(step, action, outcome, "neutral")
    if step.takes == "list":
        return _record_list(draft, step, action)
    text = (action.value or "").strip()
    if not text:
        refuse("Nothing is entered yet. Type it in.")
    if step.private:
        return _plain(step, action, "recorded", "good", words=KEPT_PRIVATE)
    number = None
    if step.takes == "number":
        try:
            number = write_number(parse_reading(text, step.unit or "").number)
        except ValueError as error:
            refuse(f"{error}.")
    if step.takes == "date":
        _check_date(text)
    return _agreeing(draft, step, action, [text], words=text, number=number, unit=step.unit)


def _record_list(draft: Draft, step: Record, action: Answer) -> Answered:
    entries = [entry for entry in action.entries or () if entry]
    if not entries and not step.may_be_empty:
        refuse("The list is empty. Enter at least one line.")
    if step.private:
        return _plain(step, action, "recorded", "good", words=KEPT_PRIVATE)
    return _agreeing(draft, step, action, entries, entries=entries)


def _check_date(text: str) -> None:
    try:
        date.fromisoformat(text)
    except ValueError:
        refuse(f"“{text}” is no date. Type it like 2026-11-25.")


def _agreeing(
    draft: Draft, step: Record, action: Answer, listed: list[str], **more: Any
) -> Answered:
    """Return the entry, held against the earlier one it repeats if there is one."""
    if step.repeats is None:
        return _plain(step, action, "recorded", "good", **more)
    earlier = draft.state.track(step.repeats).last
    before = _entries(earlier) if earlier is not None and earlier.weight == "good" else []
    same = [_folded(entry) for entry in listed] == [_folded(entry) for entry in before]
    if same:
        return _plain(step, action, "matching", "good", **more)
    at = next(
        (
            place
            for place, pair in enumerate(zip(listed, before, strict=False))
            if _folded(pair[0]) != _folded(pair[1])
        ),
        min(len(listed), len(before)),
    )
    details = {
        "line": str(at + 1),
        "before": before[at] if at < len(before) else "nothing",
        "now": listed[at] if at < len(listed) else "nothing",
    }
    return _plain(step, action, "different", "bad", details=details, **more)


def _entries(answer: Answered) -> list[str]:
    """Return what was entered, line by line; an empty list is an entry too."""
    return answer.entries if answer.entries is not None else [answer.words]


def _folded(entry: str) -> str:
    """Return `entry` as two entries are compared: case and white space do not count."""
    return " ".join(entry.casefold().split())


def _sum(draft: Draft, step: Sum, action: Answer) -> Answered:
    outcome = _allow(step, action, "could not test")
    if outcome is not None:
        return _plain(step, action, outcome, "neutral")
    given = {}
    for name, value in step.inputs.items():
        if isinstance(value, str):
            given[name] = value
            continue
        earlier = draft.state.track(value.answer).last
        if earlier is None or earlier.weight == "neutral" or not (earlier.number or earlier.words):
            source = draft.procedure.steps[value.answer]
            refuse(
                f"The sum needs {name}, and its step has no reading.",
                Missing(source.text, source.id),
                "Or answer could not test, and say why.",
            )
        given[name] = earlier.number or earlier.words
    try:
        worked = work(step.of, given)
    except ValueError as error:
        refuse(f"{error}".rstrip(".") + ".")
    details = {**worked.inputs, **worked.results, "because": worked.because, "shown": worked.shown}
    return _plain(step, action, worked.verdict, worked.verdict, details=details)


def _count(draft: Draft, step: Count, action: Answer) -> Answered:
    _allow(step, action)
    _lines_ticked(draft, step)
    if step.matches is None:
        return _plain(step, action, "counted", "good")
    now, before = draft.state.track(step.id).ticks, draft.state.track(step.matches).ticks
    details = {}
    for item in items_that_apply(draft.procedure, draft.state, step):
        out = before[item.item].answer.count if item.item in before else 0
        back = now[item.item].answer.count
        if out != back:
            details[item.item] = f"{out} out, {back} back"
    if details:
        return _plain(step, action, "not matching", "bad", details=details)
    return _plain(step, action, "matching", "good")


def _choose(draft: Draft, step: Choose, action: Answer) -> Answered:
    _allow(step, action)
    choice = next(each for each in draft.procedure.choices if each.choice == step.settles)
    value = (action.value or "").strip()
    if value not in choice.answers:
        refuse(f"“{value}” is no answer here. Choose one of: {', '.join(choice.answers)}.")
    return _plain(step, action, "chosen", "good", words=value, settles=step.settles)


def _wait(draft: Draft, step: Wait, action: Answer) -> Answered:
    _allow(step, action, "done")
    track = draft.state.track(step.id)
    since = draft.state.track(step.since) if step.since else None
    left = wait_left(step, clock_at(draft.state, draft.when), track, since)
    if left is None:
        refuse(
            "How long this wait lasts is not known for this vehicle.",
            "Look the time up in the vehicle maker's instructions, and enter it with its source.",
        )
    if left > 0:
        refuse(f"The wait still has {countdown(left)} to run. It cannot be shortened here.")
    lasts = track.wait.seconds if track.wait is not None else step.lasts or 0
    source = track.wait.source if track.wait is not None else step.source or ""
    return _plain(
        step, action, "over", "good", details={"lasts": write_duration(lasts), "source": source}
    )


def _inspect(draft: Draft, step: Inspect, action: Answer) -> Answered:
    _allow(step, action)
    _lines_ticked(draft, step)
    if step.compares is None:
        return _plain(step, action, "inspected", "good")
    compared = compare(draft.procedure, draft.state, step)
    details = {each.item.item: each.word for each in compared if each.word != "unchanged"}
    return _plain(step, action, *_sheet_outcome(compared), details=details)


def _sheet_outcome(compared: tuple[Comparison, ...]) -> tuple[str, Weight]:
    words = {each.word for each in compared}
    for word in ("worse", "unresolved", "not compared"):
        if word in words:
            return word, "neutral"
    return "matching", "good"


def worse_lines(draft: Draft, step: Inspect) -> list[FaultRaised]:
    """Return a fault of the work for each line that is worse than before and has none open."""
    number = len(draft.state.faults)
    raised = {fault.item for fault in draft.state.faults if fault.open and fault.step == step.id}
    cause: Cause = "work"
    return [
        FaultRaised(
            fault=number + place,
            cause=cause,
            words=f"{each.item.name}: {_was(each)} before, {each.now.outcome} now: "
            f"{each.now.words}",
            step=step.id,
            item=each.item.item,
        )
        for place, each in enumerate(
            (
                each
                for each in compare(draft.procedure, draft.state, step)
                if each.word == "worse" and each.item.item not in raised
            ),
            start=1,
        )
    ]


def _was(line: Comparison) -> str:
    """Return how a line was before the work, as the past it is now."""
    outcome = line.before.outcome if line.before is not None else "not looked at"
    return "worked" if outcome == "works" else outcome


def _witness(draft: Draft, step: Witness, action: Answer) -> Answered:
    outcome = _allow(step, action, "passed", "failed")
    if outcome is None:
        refuse("The second person says passed or failed.")
    for name in step.of:
        track = draft.state.track(name)
        workers = {attempt.by for attempt in track.attempts}
        workers |= {tick.by for tick in track.ticks.values()}
        if draft.who.id in workers:
            refuse(
                f"{draft.who.id} did “{draft.procedure.steps[name].text}” and cannot witness it.",
                "Somebody else on the staff has to look.",
            )
    return _plain(step, action, outcome, "good" if outcome == "passed" else "bad")


_Judge = Callable[[Draft, Any, Answer], Answered]
_JUDGES: dict[str, _Judge] = {
    "do": _do,
    "check": _check,
    "measure": _measure,
    "record": _record,
    "sum": _sum,
    "count": _count,
    "choose": _choose,
    "wait": _wait,
    "inspect": _inspect,
    "witness": _witness,
}
