"""What a second person is asked: who looked, what they found, and what if nobody can come."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from baycompanion.job import actions
from baycompanion.job.deciding.measuring import limits_in_words
from baycompanion.job.state.order import step_applies
from baycompanion.job.state.second_looks import taken_afresh, workers
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Measure, Step, Witness
from baycompanion.views.card.card import Card, Deed, Field, Form, Key, Piece
from baycompanion.views.forms.answer_forms import cannot_form
from baycompanion.views.forms.job_forms import BY

MANNERS = {
    "independent": "A second person looks, alone, and answers with their own staff id.",
    "concurrent": "Whoever watched the act answers, with their own staff id.",
}


def ask_witness(
    card: Card, procedure: Procedure, state: State, step: Witness, when: datetime
) -> Card:
    """Return `card` with whose work is looked at, and the ways to answer."""
    return replace(
        card,
        pieces=(
            Piece("label", f"{MANNERS[step.manner]}{_role(state, step)}"),
            *_whose_work(procedure, state, step),
        ),
        keys=(
            *look_keys(procedure, state, step),
            *((Key("3", "Nobody else here…", _release_form(step)),) if step.provisional else ()),
            Key("F7", "Nobody came…", cannot_form(step, ("not done",))),
        ),
    )


def look_keys(procedure: Procedure, state: State, step: Witness) -> tuple[Key, ...]:
    """Return the two answers of a second person; they may come long after the step."""
    return (
        Key("1", "Passed…", _look_form(procedure, state, step, "passed")),
        Key("2", "Failed…", _look_form(procedure, state, step, "failed")),
    )


def _role(state: State, step: Witness) -> str:
    if step.by_mentor:
        return f" It is for {state.mentor}, the mentor."
    return " Only a supervisor may." if step.role == "supervisor" else ""


def _whose_work(procedure: Procedure, state: State, step: Witness) -> tuple[Piece, ...]:
    return tuple(
        Piece(
            "plain",
            f"• {procedure.number[name]}. {procedure.steps[name].text} "
            f"Done by {', '.join(sorted(people)) or 'nobody yet'}",
        )
        for name, people in workers(state, step).items()
    )


def _look_form(procedure: Procedure, state: State, step: Witness, outcome: str) -> Form[Deed]:
    """Ask the second person for an id and, where it passes, for what they found themselves."""
    afresh = taken_afresh(procedure, state, step)
    may_be_empty = outcome == "failed"
    found = [
        Field(f"found-{each.id}", each.text, hint=_hint(each), may_be_empty=may_be_empty)
        for each in afresh
    ]

    def make(given: Mapping[str, str]) -> Deed:
        typed = {each.id: given[f"found-{each.id}"] for each in afresh}
        answer = actions.Answer(
            answer=step.id,
            outcome=outcome,
            words=given["words"],
            readings={name: text for name, text in typed.items() if text.strip()},
        )
        return Deed(answer, given["by"])

    lead = [Piece("label", "The second person answers, never the one who did the work.")]
    if afresh:
        lead.append(Piece("plain", "Find it yourself. The first answer is shown afterwards."))
    words = Field("words", "What you looked at", may_be_empty=outcome == "passed")
    title = f"{outcome.capitalize()}: {step.text}"
    return Form(title, (*found, BY, words), make, tuple(lead))


def _hint(step: Step) -> str:
    """Return what the thing found is held against, and its unit, but never what was found."""
    if isinstance(step, Measure):
        return f"{limits_in_words(step)}, in {step.unit}"
    return str(getattr(step, "unit", None) or "")


def _release_form(step: Witness) -> Form[Deed]:
    """Ask why work is released without a second person, where the shop has nobody else."""

    def make(given: Mapping[str, str]) -> Deed:
        answer = actions.Answer(answer=step.id, outcome="provisional", words=given["words"])
        return Deed(answer)

    lead = (
        Piece("bad", "Released for now: the job stays marked until somebody else has looked."),
        Piece("plain", "It needs a passed function test, and nobody else on the staff."),
    )
    fields = (Field("words", "Why can nobody else look?"),)
    return Form(f"Released for now: {step.text}", fields, make, lead, accept="Release for now")


def called_beforehand(procedure: Procedure, state: State, step: Step) -> tuple[Piece, ...]:
    """Return that a second person is called before `step`, where one has to watch it."""
    return tuple(
        Piece("label", f"Call a second person first (step {procedure.number[each.id]}): {CALL}")
        for each in procedure.steps.values()
        if isinstance(each, Witness)
        and each.manner == "concurrent"
        and step.id in each.of
        and step_applies(procedure, state, each)
    )


CALL = "each finds the item alone, both agree, then one acts and the other watches."
