"""What a second person says of somebody else's work, held against what was found before."""

from decimal import Decimal

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.answering import allow, answered
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.deciding.reopening import reopen
from baycompanion.job.deciding.summing import as_input, worked
from baycompanion.job.events.kinds import Answered, FaultRaised
from baycompanion.job.state.second_looks import first_found, taken_afresh, workers
from baycompanion.procedure.steps import Measure, Record, Step, Sum, Witness
from baycompanion.text.clean import folded
from baycompanion.text.problem import quoted
from baycompanion.text.reading import parse_reading


def witnessed(draft: Draft, step: Witness, action: Answer) -> Answered:
    """Return what a second person's word comes to, held against what was found before."""
    outcome = allow(step, action, "passed", "failed", "provisional", "not done")
    if outcome is None:
        refuse("The second person says passed or failed.")
    if outcome == "not done":  # nobody came; the gate that waits for it stays shut
        return answered(step, action, outcome, "neutral")
    if outcome == "provisional":
        return _provisional(draft, step, action)
    if step.by_mentor and draft.who.id != draft.state.mentor:
        refuse(f"This is for {draft.state.mentor}, who stands beside {draft.state.technician}.")
    if not draft.who.is_at_least(step.role):
        refuse(f"This asks for a {step.role}, and {draft.who.id} is a {draft.who.role}.")
    for name, people in workers(draft.state, step).items():
        if draft.who.id in people:
            refuse(
                f"{draft.who.id} did “{draft.procedure.steps[name].text}” and cannot witness it.",
                "Somebody else on the staff has to look.",
            )
    if outcome == "failed":
        said = answered(step, action, "failed", "bad", readings=dict(action.readings) or None)
    else:
        said = _held_against(draft, step, action)
    return said.model_copy(update={"signed": draft.who.signed})


def look_later(draft: Draft, step: Witness, action: Answer) -> None:
    """Take the word of a second person on work that was released for now, even after the end.

    What failed is done again while the job is open; afterwards it stands as a fault of the work.
    """
    said = witnessed(draft, step, action)
    if said.outcome == "provisional":
        refuse("It is released for now already. A second person says passed or failed.")
    ended = draft.state.status == "closed"
    if said.weight == "bad" and ended:
        words = f"{step.text} {said.outcome.capitalize()}, looked at later. {said.words}".strip()
        number = len(draft.state.faults) + 1
        draft.say(FaultRaised(fault=number, cause="work", words=words, step=step.id))
    draft.say(said)
    if said.weight == "bad" and not ended:
        reopen(draft, step, f"The second person came to: {said.outcome}.")


def _provisional(draft: Draft, step: Witness, action: Answer) -> Answered:
    """Release the work for now; whether there is nobody else, the shop's own list says."""
    if step.provisional is None:
        refuse("This work is not released without a second person.", "Call somebody else to look.")
    check = draft.procedure.steps[step.provisional]
    if not draft.state.track(check.id).good:
        refuse("Before it is released for now, its function is tested.", check.text)
    if not action.words:
        refuse("Released for now: say in a few words why nobody else can look.")
    return answered(step, action, "provisional", "neutral")


def _held_against(draft: Draft, step: Witness, action: Answer) -> Answered:
    """Return passed where every reading taken afresh agrees with the first, else not agreeing."""
    wanted = taken_afresh(draft.procedure, draft.state, step)
    missing = [each.text for each in wanted if not action.readings.get(each.id)]
    if missing:
        refuse("The second person finds this afresh, without seeing the first answer.", *missing)
    strange = action.readings.keys() - {each.id for each in wanted}
    if strange:
        known = ", ".join(each.id for each in wanted) or "nothing"
        refuse(f"{quoted(min(strange))} is not found afresh here, but: {known}.")
    readings = {each.id: _read(each, action.readings[each.id]) for each in wanted}
    apart = {
        each.id: f"{first_found(draft.state, each)} at first, {readings[each.id]} afresh"
        for each in wanted
        if not _agrees(each, str(first_found(draft.state, each)), readings[each.id])
    }
    apart |= _sums_apart(draft, step, readings)
    if apart:
        return answered(step, action, "not agreeing", "bad", readings=readings, details=dict(apart))
    return answered(step, action, "passed", "good", readings=readings or None)


def _read(step: Step, typed: str) -> str:
    """Return a reading as its digits, or an entry as its words; refuse what is no reading."""
    unit = _unit(step)
    if unit is None:
        return typed
    try:
        return f"{parse_reading(typed, unit).number:f}"
    except ValueError as error:
        refuse(f"{step.text} {error}.")


def _unit(step: Step) -> str | None:
    """Return the unit of the number that `step` takes, None where it takes words."""
    if isinstance(step, Measure) or (isinstance(step, Record) and step.takes == "number"):
        return step.unit
    return None


def _agrees(step: Step, first: str, second: str) -> bool:
    """Return whether two findings of one thing come to the same."""
    if not isinstance(step, Measure):
        return folded(first) == folded(second)
    if step.is_inside(Decimal(first)) != step.is_inside(Decimal(second)):
        return False
    apart = abs(Decimal(first) - Decimal(second))
    return step.agree_within is None or apart <= step.agree_within


def _sums_apart(draft: Draft, step: Witness, readings: dict[str, str]) -> dict[str, str]:
    """Return the sums that come to another verdict when worked from what was found afresh."""
    apart = {}
    for name in step.of:
        each = draft.procedure.steps[name]
        first = draft.state.track(name).last
        if not isinstance(each, Sum) or first is None or not draft.state.track(name).good:
            continue
        given = {}
        for key, value in each.inputs.items():
            if isinstance(value, str):
                given[key] = value
            else:
                source = draft.procedure.steps[value.answer]
                said = readings.get(value.answer) or str(first_found(draft.state, source) or "")
                given[key] = as_input(said, _unit(source))
        verdict = worked(draft, each, given).verdict
        if verdict != first.outcome:
            apart[name] = f"{first.outcome} at first, {verdict} afresh"
    return apart
