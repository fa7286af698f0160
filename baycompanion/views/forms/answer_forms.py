"""What is asked before a step or a line of it is answered other than by one key."""

from collections.abc import Mapping
from datetime import date, datetime

from baycompanion.job import actions
from baycompanion.job.deciding.ticking import ELSEWHERE, OUR_WORK
from baycompanion.procedure.steps import Item, Step
from baycompanion.text.duration import parse_duration
from baycompanion.text.problem import quoted
from baycompanion.views.card.card import Deed, Field, Form, Piece
from baycompanion.views.forms.job_forms import LIKE_MOMENT, late_form


def reason_form(step: Step, outcome: str) -> Form[Deed]:
    """Ask why a step was not done or not tested."""

    def make(given: Mapping[str, str]) -> Deed:
        answer = actions.Answer(answer=step.id, outcome=outcome, words=given["words"])
        return Deed(answer)

    return Form(f"{outcome.capitalize()}: {step.text}", (Field("words", "Why?"),), make)


def cannot_form(step: Step, outcomes: tuple[str, ...]) -> Form[Deed]:
    """Ask why there is no answer of the usual kind."""

    def make(given: Mapping[str, str]) -> Deed:
        answer = actions.Answer(
            answer=step.id, outcome=given.get("outcome", outcomes[0]), words=given["words"]
        )
        return Deed(answer)

    which = (Field("outcome", "What then", outcomes),) if len(outcomes) > 1 else ()
    return Form(f"No answer to: {step.text}", (*which, Field("words", "Why?")), make)


_ASKED = {"faulty": "What is wrong?", OUR_WORK: "What shows it?", ELSEWHERE: "What shows it?"}
"""What is asked about a line, by its answer; after any other one, why."""


def line_form(step: Step, item: Item, outcome: str) -> Form[Deed]:
    """Ask what is wrong with one line, or why it was not done or tested."""

    def make(given: Mapping[str, str]) -> Deed:
        tick = actions.TickLine(
            tick=step.id,
            item=item.item,
            outcome=outcome,
            words=given["words"],
        )
        return Deed(tick)

    return Form(
        f"{item.name}: {outcome}",
        (Field("words", _ASKED.get(outcome, "Why?")),),
        make,
    )


def coded_form(step: Step, item: Item) -> Form[Deed]:
    """Ask for the code on a part that is here."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(
            actions.TickLine(tick=step.id, item=item.item, outcome="here", code=given["code"])
        )

    return Form(f"{item.name}: here", (Field("code", "Scan or type its code"),), make)


def wrong_part_form(step: Step, items: tuple[Item, ...], code: str, order: str) -> Form[Deed]:
    """Ask for which part something came whose code is not on the order."""
    named = {item.name: item.item for item in items}

    def make(given: Mapping[str, str]) -> Deed:
        tick = actions.TickLine(
            tick=step.id,
            item=named[given["part"]],
            outcome="wrong",
            words=given["words"],
            code=code,
        )
        return Deed(tick)

    lead = (Piece("bad", f"{quoted(code)} is not on the order {order}."),)
    fields = (
        Field("part", "It came in place of", tuple(named)),
        Field("words", "What it is", may_be_empty=True),
    )
    return Form("A wrong part?", fields, make, lead, accept="It is wrong")


def instrument_form(step: Step, item: Item) -> Form[Deed]:
    """Ask which instrument it is, and when its calibration is due."""

    def make(given: Mapping[str, str]) -> Deed:
        tick = actions.TickLine(
            tick=step.id,
            item=item.item,
            outcome="here",
            instrument=given["instrument"],
            due=_day(given["due"]),
        )
        return Deed(tick)

    fields = (
        Field("instrument", "Number on its label"),
        Field("due", "Calibration due", hint="like 2027-01-31"),
    )
    return Form(item.name, fields, make)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise ValueError(f"{quoted(text)} is no date. Type it like 2027-01-31.") from None


def settle_form(step: Step, cause: str) -> Form[Deed]:
    """Ask what the fault is."""

    def make(given: Mapping[str, str]) -> Deed:
        settle = actions.Settle(settle=step.id, cause=cause, words=given["words"])
        return Deed(settle)

    lead = (
        Piece("plain", "The step is left behind with a deviation. A gate that waits for it"),
        Piece("plain", "stays shut until the step is reopened and comes out well."),
    )
    return Form(f"Fault of the {cause}", (Field("words", "What is wrong?"),), make, lead)


def wait_form(step: Step) -> Form[Deed]:
    """Ask how long a wait lasts for this vehicle, and who says so."""

    def make(given: Mapping[str, str]) -> Deed:
        lasts = parse_duration(given["lasts"])
        return Deed(actions.SetWait(set_wait=step.id, lasts=lasts, source=given["source"]))

    fields = (
        Field("lasts", "How long", hint="like 10 min"),
        Field("source", "Where the figure comes from", hint="maker's manual, page"),
    )
    return Form("How long is the wait for this vehicle?", fields, make)


def standing_form(name: str, says: str) -> Form[Deed]:
    """Ask what happened to a standing condition that did not hold."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(actions.Confirm(confirm=name, held=False, words=given["words"]))

    lead = (Piece("plain", "This raises a fault of the work."),)
    return Form(f"It did not hold: {says}", (Field("words", "What happened?"),), make, lead)


def paper_wait_form(step: Step, now: datetime) -> Form[Deed]:
    """Ask when a wait ran out while the work went on by hand."""
    late = late_form(now)

    def make(given: Mapping[str, str]) -> Deed:
        claimed = late.make(given)
        return Deed(actions.Answer(answer=step.id, claimed=claimed, on_paper=True))

    lead = (
        Piece("plain", "It counts from the time at which the step before it was done on paper."),
        Piece("plain", "The answer is marked as copied from the paper form, with both times."),
    )
    fields = (Field("at", "Over at, as the paper says", hint=LIKE_MOMENT),)
    return Form("The wait ran out on paper", fields, make, lead, "Copy")
