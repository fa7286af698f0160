"""What a locked job shows, and what is asked of whoever signs."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from baycompanion.views.card.card import Card, Field, First, Form, Key, Piece
from baycompanion.views.card.only_read import only_read_card

LOCKED = "Locked: it can be read, and not answered."


@dataclass(frozen=True, slots=True, repr=False)
class PinGiven:
    """A PIN as it was typed; it shows itself nowhere."""

    who: str
    pin: str


def pin_form(who: str) -> Form[PinGiven]:
    """Ask `who` for their PIN."""

    def make(given: Mapping[str, str]) -> PinGiven:
        return PinGiven(who, given["pin"])

    return Form(f"{who} signs", (Field("pin", "PIN", secret=True),), make, accept="Sign")


def pin_field(without_pin: bool) -> Field:
    """Return the question for a PIN; nobody gets past it, unless some may be `without_pin`.

    It stands before the staff id: typed without a look, it must not stand in clear in another
    field.
    """
    hint = "empty where you have none" if without_pin else ""
    return Field("pin", "PIN", hint=hint, may_be_empty=without_pin, secret=True)


def supervisor_fields(without_pin: bool, by: str = "") -> tuple[Field, Field]:
    """Return what a supervisor signs with; `by` is who said so already.

    `without_pin` says whether a supervisor could who has no PIN.
    """
    return pin_field(without_pin), Field("who", "Staff id (supervisor)", value=by)


NOBODY = "nobody: works alone"
"""What is chosen where a trainee who is released takes no mentor."""


def mentor_form(trainee: str, staff: tuple[str, ...], not_released: str) -> Form[str]:
    """Ask who stands beside `trainee`; `staff` are the ids of those who work in the shop.

    `not_released` says why somebody has to; where it is empty, nobody has to. What is made is the
    id, empty for nobody.
    """

    def make(given: Mapping[str, str]) -> str:
        return "" if given["mentor"] == NOBODY else given["mentor"]

    others = tuple(name for name in staff if name != trainee)
    if not_released:
        told = f"{trainee} is a trainee, and works beside a mentor. {not_released}"
    else:
        others = (NOBODY, *others)
        told = f"{trainee} is a trainee, and released for this. A mentor may still stand beside."
    lead = (Piece("label", told),)
    return Form("Who stands beside?", (Field("mentor", "Mentor", others),), make, lead)


def sign_on_form(technician: str, without_pin: bool) -> Form[PinGiven]:
    """Ask who takes the seat before the job: its technician, or a supervisor in their place.

    `without_pin` says whether somebody could who has no PIN; else nobody gets past the PIN.
    """

    def make(given: Mapping[str, str]) -> PinGiven:
        return PinGiven(given["who"], given["pin"])

    fields = (pin_field(without_pin), Field("who", "Staff id", value=technician))
    lead = f"The job is in the hands of {technician}. A supervisor may take it over."
    return Form("Sign on", fields, make, (Piece("label", lead),), accept="Sign on")


def locked_card(card: Card, sign_on: First) -> Card:
    """Return `card` to read only, its lines as paragraphs, with the one key that signs on."""
    read = only_read_card(card)
    return replace(
        read,
        pieces=(Piece("warning", LOCKED), *read.pieces),
        keys=(Key("1", "Sign on…", sign_on, enter=True),),
    )
