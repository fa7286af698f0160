"""The forms: the few questions behind a key, and the deed their answers make."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

from baycompanion.job import actions, hands_actions
from baycompanion.job.deciding.draft import Draft, Person
from baycompanion.job.deciding.reopening import reopen, stand_again
from baycompanion.job.events.kinds import GateShutAgain, Reopened
from baycompanion.job.events.moment import read_moment, write_moment
from baycompanion.job.state.gates import missing
from baycompanion.job.state.state import State
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.steps import Step
from baycompanion.text.problem import quoted
from baycompanion.views.card.card import Deed, Field, Form, Piece
from baycompanion.views.card.wording import waited_for

BY = Field("by", "Your staff id")
NO_STEP_TO_COPY = "There is no step to copy now. Settle first what stands here, then copy on."
LIKE_MOMENT = "like 14:05, or 2026-11-25 14:05"


def note_form() -> Form[Deed]:
    """Ask for a note."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(actions.Note(note=given["words"]))

    return Form("Note", (Field("words", "Write it down"),), make)


def vehicle_form(work_order: str, vehicle: str) -> Form[None]:
    """Ask whether this is the vehicle in front of the person, after another one was."""

    def make(given: Mapping[str, str]) -> None:
        if given["sure"] != "yes":
            raise ValueError("Go back, and choose the job of the vehicle before you.")

    title = f"{work_order}: {vehicle}"
    fields = (Field("sure", "Is this the vehicle in front of you?", ("no", "yes")),)
    return Form(title, fields, make, accept="Open")


def late_form(now: datetime) -> Form[datetime]:
    """Ask when the step in hand was really done."""

    def make(given: Mapping[str, str]) -> datetime:
        return _moment(given["at"], now)

    lead = (Piece("plain", "The next answer keeps both times: this one, and when it was entered."),)
    return Form("Late entry", (Field("at", "Done at", hint=LIKE_MOMENT),), make, lead, "Set")


def _moment(typed: str, now: datetime) -> datetime:
    """Return the moment that `typed` names: a time of day, the last one, or with its day before it.

    Raises:
        ValueError: It is neither.
    """
    day, _, clock = typed.strip().rpartition(" ")
    try:
        at = time.fromisoformat(clock)
        on = date.fromisoformat(day.strip()) if day else None
    except ValueError:
        said = quoted(typed)
        raise ValueError(f"{said} is no time of day. Type it {LIKE_MOMENT}.") from None
    return _last_at(at, now) if on is None else datetime.combine(on, at, now.tzinfo)


def _last_at(clock: time, now: datetime) -> datetime:
    """Return when the clock on the wall showed `clock` last, at `now` or before it.

    In the night on which clocks are set back it shows the same time twice; the later one is meant.
    """
    today = datetime.combine(now.date(), clock, now.tzinfo)
    shown = (today.replace(fold=1), today)
    passed = (each for each in shown if each.astimezone(UTC) <= now.astimezone(UTC))
    return next(passed, today - timedelta(days=1))


def paper_form(now: datetime, at: datetime | None) -> Form[datetime]:
    """Ask when the step in hand was done by hand; `at` is the time copied last."""
    late = late_form(now)
    lead = (
        Piece("plain", "The answer is marked as copied from the paper form, with both times."),
        Piece("plain", "It is asked after each step. To stop copying, go back."),
    )
    done = Field("at", "Done at, as the paper says", hint=LIKE_MOMENT)
    value = moment_words(write_moment(at), now) if at is not None else ""
    return Form("From the paper form", (replace(done, value=value),), late.make, lead, "Copy")


def fault_form() -> Form[Deed]:
    """Ask what was found wrong."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(actions.RaiseFault(fault=given["words"], cause=given["cause"]))

    fields = (
        Field("words", "What is wrong?"),
        Field("cause", "Where it comes from", ("vehicle", "work")),
    )
    return Form("A fault was found", fields, make)


def clear_form(state: State) -> Form[Deed] | None:
    """Ask which open fault was put right, and how; None when none is open.

    Choices are counted line by line, so a bare number before each would stand for two faults.
    """
    faults = {f"Fault {fault.number}: {fault.words}": fault for fault in state.faults if fault.open}
    if not faults:
        return None

    def make(given: Mapping[str, str]) -> Deed:
        number = faults[given["fault"]].number
        return Deed(actions.ClearFault(clear=number, words=given["words"]))

    fields = (
        Field("fault", "Which fault", tuple(faults)),
        Field("words", "How it was put right"),
    )
    return Form("Clear a fault", fields, make)


def clear_one_form(number: int) -> Form[Deed]:
    """Ask how the fault of this number was put right."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(actions.ClearFault(clear=number, words=given["words"]))

    return Form(f"Clear fault {number}", (Field("words", "How it was put right"),), make)


def pause_form(why: str = "") -> Form[Deed]:
    """Ask what a pause leaves behind and what comes first on return; `why` is a reason to begin."""

    def make(given: Mapping[str, str]) -> Deed:
        pause = hands_actions.PauseWork(
            pause=given["why"], loose=given["loose"], first=given["first"]
        )
        return Deed(pause)

    return Form("Pause", (Field("why", "Why", value=why), *_LEAVING), make, accept="Pause")


_LEAVING = (
    Field("loose", "Loose, open or live right now", hint="or: nothing"),
    Field("first", "What comes first on return"),
)


def hand_over_form(staff: tuple[str, ...]) -> Form[Deed]:
    """Ask who takes the job, and what they have to know."""

    def make(given: Mapping[str, str]) -> Deed:
        hand_over = hands_actions.HandOver(
            hand_over=given["to"],
            words=given["words"],
            loose=given["loose"],
            first=given["first"],
        )
        return Deed(hand_over)

    fields = (
        Field("to", "Who takes the job", staff),
        Field("words", "What they must know"),
        *_LEAVING,
    )
    return Form("Hand the job over", fields, make, accept="Hand over")


def taken_over(who: str, words: str) -> hands_actions.HandOver:
    """Return what passes a job to `who` when nobody is there who could hand it over."""
    return hands_actions.HandOver(
        hand_over=who,
        words=words,
        loose="Not said: nobody was there to hand it over.",
        first="Look at the vehicle.",
    )


def take_over_form(technician: str) -> Form[Deed]:
    """Ask who takes a job over from a technician who is not there, and which supervisor says so."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(taken_over(given["to"], given["words"]), given["by"])

    lead = (
        Piece("plain", f"{technician} has the job. What the time was is asked afterwards."),
        Piece("plain", "What stands is verified at the vehicle before the work goes on."),
    )
    fields = (
        Field("to", "Staff id of who takes the job"),
        Field("words", f"Why, and where {technician} is"),
        Field("by", "Staff id (supervisor)"),
    )
    return Form("Take the job over", fields, make, lead, accept="Take over")


def reopen_form(procedure: Procedure, state: State, step: Step) -> Form[Deed]:
    """Ask why a finished step is done again, and say what else is, and which gates shut."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(actions.Reopen(reopen=step.id, reason=given["reason"]))

    draft = _reopening(procedure, state, step)
    again = [
        f"{procedure.number[each.id]}. {each.text}"
        for each in _reopened(procedure, draft)
        if each != step
    ]
    said = [event.data for event in draft.events]
    shut = dict.fromkeys(data.gate for data in said if isinstance(data, GateShutAgain))
    lead = [Piece("plain", "The first answer is kept beside the new one.")]
    if again:
        lead.append(Piece("label", f"Done again too: {' '.join(again)}"))
    if shut:
        lead.append(Piece("label", f"Shuts again: {', '.join(shut)}"))
    title = f"Reopen {procedure.number[step.id]}. {step.text}"
    return Form(title, (Field("reason", "Why"),), make, tuple(lead), accept="Reopen")


def _reopening(procedure: Procedure, state: State, step: Step) -> Draft:
    """Return a draft, which nobody keeps, in which all is reopened that comes back with `step`.

    Standing conditions come back one by one, each as the work reaches what it protects, and what
    begins one may need another. So each step that is done again is asked here what it needs.
    """
    draft = Draft(procedure, state, Person("", ""), read_moment(state.last_at))
    reopen(draft, step, "")
    while any(stand_again(draft, again) for again in _reopened(procedure, draft)):
        pass
    return draft


def _reopened(procedure: Procedure, draft: Draft) -> list[Step]:
    """Return the steps that are reopened in `draft`, in the order of the procedure."""
    names = {event.data.step for event in draft.events if isinstance(event.data, Reopened)}
    return [step for name, step in procedure.steps.items() if name in names]


def override_form(
    procedure: Procedure, state: State, gate: Gate, reasons: tuple[str, ...]
) -> Form[Deed]:
    """Ask an authorised person why a shut gate is opened, and what protects instead."""

    def make(given: Mapping[str, str]) -> Deed:
        override = actions.Override(
            override=gate.gate,
            reason=given["reason"],
            words=given["words"],
            instead=given["instead"],
        )
        return Deed(override, given["by"])

    waiting = missing(procedure, state, gate)
    lead = (
        Piece("bad", "An override stays in the record for ever, with your id."),
        *(Piece("plain", f"Without: {waited_for(procedure, state, thing)}") for thing in waiting),
    )
    fields = (
        Field("reason", "Reason", reasons),
        Field("words", "In your words"),
        Field("instead", "What protects instead"),
        Field("by", f"Staff id ({gate.override})"),
    )
    return Form(f"Override {gate.gate}", fields, make, lead, accept="Override")


def abandon_form() -> Form[Deed]:
    """Ask why the job is given up."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(actions.Abandon(abandon=given["reason"]))

    lead = (Piece("bad", "The job ends here and cannot be taken up again."),)
    return Form("Give the job up", (Field("reason", "Why"),), make, lead, accept="Give up")


def close_form() -> Form[Deed]:
    """Ask once more before the job ends."""

    def make(given: Mapping[str, str]) -> Deed:
        if given["sure"] != "yes, keys back":
            raise ValueError("The job stays open. Go back, or choose “yes, keys back”.")
        return Deed(actions.Close(close="keys back"))

    fields = (Field("sure", "Close the job?", ("not yet", "yes, keys back")),)
    return Form("Close the job", fields, make, accept="Close")
