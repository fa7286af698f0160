"""What a person can do around the work: pause, pass the job on, say what the time was, sign on."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from baycompanion.job.typed import Words
from baycompanion.procedure.fields import Id, Line
from baycompanion.text.to_model import Written


def _listed(value: object) -> object:
    """Let one entry stand where a list of entries may stand."""
    return [value] if isinstance(value, str) else value


Names = Annotated[tuple[Id, ...], BeforeValidator(_listed, json_schema_input_type=Id | list[Id])]


class PauseWork(Written):
    """Stop for a while: why, what is loose, open or live, and what comes first on return."""

    pause: Line
    loose: Line
    first: Line


class Resume(Written):
    """Go on after a pause."""

    resume: Words
    """What was read back, or anything to add."""
    still_true: Names = ()
    """The standing conditions verified again at the vehicle."""
    gate_checked: bool = False
    """The items of the last open gate were verified again."""


class FindGap(Written):
    """The program says that time passed which it cannot account for."""

    gap: Literal["left", "slept"]
    seconds: Annotated[int, Field(ge=1)]


class ExplainGap(Written):
    """Say what the time was that the program cannot account for."""

    explain: Literal["worked", "away", "clock", "unknown"]
    """Unknown: whoever says so was not there, or does not remember."""


class HandOver(Written):
    """Pass the job to another technician."""

    hand_over: Line
    """The staff id of the one who takes it."""
    words: Line
    loose: Line
    first: Line
    mentor: Line | None = None
    """The staff id of the mentor of a trainee who takes it."""


class SignOn(Written):
    """Take a seat before the job, or take it again after the screen was locked."""

    sign_on: Line
    """The staff id of the one who signs on."""


class RefusePin(Written):
    """The program says that somebody gave a wrong PIN."""

    refuse_pin: Line
    """The staff id that it was given for."""
    tries: Annotated[int, Field(ge=1)]
    """Wrong ones in a row, this one included."""
