"""What is asked of a supervisor who has looked at a finding, or decides about a gate."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from baycompanion.text.problem import quoted
from baycompanion.views.card.card import Field, Form, Piece
from baycompanion.views.forms.signing import PinGiven, supervisor_fields

MEND, TRAIN, ACCEPT = "mend the gate", "train", "accept it until a day"


@dataclass(frozen=True, slots=True)
class Said:
    """What a supervisor says, and how they show who they are."""

    words: str
    given: PinGiven


@dataclass(frozen=True, slots=True)
class Chosen(Said):
    """What a supervisor decides about a gate."""

    course: str
    """One of the three."""
    until: str | None
    """The last day of an acceptance, like 2026-09-30."""


def looked_form(sentence: str, without_pin: bool) -> Form[Said]:
    """Ask what a finding was; `without_pin` as in `supervisor_fields`."""

    def make(given: Mapping[str, str]) -> Said:
        return Said(given["words"], _pin(given))

    fields = (Field("words", "What was it?"), *supervisor_fields(without_pin))
    return Form("Looked at", fields, make, (Piece("plain", sentence),), accept="Keep")


def decide_form(gate: str, without_pin: bool) -> Form[Chosen]:
    """Ask what is done about a gate that is overridden; `without_pin` as in `looked_form`."""

    def make(given: Mapping[str, str]) -> Chosen:
        until = given["until"].strip() or None
        accepted = given["course"] == ACCEPT
        if accepted and until is None:
            raise ValueError("An acceptance has a last day. Type it like 2026-09-30.")
        if not accepted and until is not None:
            raise ValueError("Only an acceptance has a last day. Leave it empty, or accept.")
        if until is not None:
            until = _day(until)
        return Chosen(given["words"], _pin(given), given["course"], until)

    fields = (
        Field("course", "What is done", (MEND, TRAIN, ACCEPT)),
        Field("until", "Accepted until", hint="like 2026-09-30; else empty", may_be_empty=True),
        Field("words", "In your words"),
        *supervisor_fields(without_pin),
    )
    return Form(f"Decide about {gate}", fields, make, accept="Decide")


def person_form(people: tuple[str, ...], without_pin: bool) -> Form[tuple[str, PinGiven]]:
    """Ask whose history is wanted, and who wants it; `without_pin` as in `looked_form`."""

    def make(given: Mapping[str, str]) -> tuple[str, PinGiven]:
        return given["person"], _pin(given)

    told = (
        "Look at the gates first. What comes is a list of what stands in the journals, the newest "
        "job first: no score, and for supervisors alone."
    )
    fields = (Field("person", "Whose", people), *supervisor_fields(without_pin))
    return Form("A person's history", fields, make, (Piece("label", told),), accept="Show")


def _pin(given: Mapping[str, str]) -> PinGiven:
    return PinGiven(given["who"], given["pin"])


def _day(text: str) -> str:
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise ValueError(f"{quoted(text)} is no date. Type it like 2026-09-30.") from None
