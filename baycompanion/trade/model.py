"""What the inputs and the results of every sum are made of."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict

Verdict = Literal["good", "bad"]

_NUMBER = re.compile(r"([+-]?[0-9]{1,9})(?:([.,])([0-9]{1,6}))?")


class Inputs(BaseModel):
    """Parent of what a sum is given: units stand in the names, ranges in the fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)


class Result(BaseModel):
    """Parent of what a sum finds; each sum puts its numbers before the verdict."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)

    verdict: Verdict
    """Good or bad, against the limit of this sum."""
    because: str
    """The verdict in words, one sentence."""
    shown: str
    """The formula with the numbers in it, one line."""


@dataclass(frozen=True, slots=True)
class Takes:
    """Marks a field whose type does not say what to type: the words that do."""

    words: str


def read_number(value: Any) -> Any:
    """Return the decimal number in a text; a comma is read as the decimal sign.

    Anything but text is passed on as it is.

    Raises:
        ValueError: The text is no plain number, or its comma could as well part thousands.
    """
    if not isinstance(value, str):
        return value
    match = _NUMBER.fullmatch(value.strip().replace("−", "-"))
    if match is None or (match[2] == "," and len(match[3]) == 3):
        raise ValueError("no plain number")
    number = Decimal(f"{match[1]}.{match[3]}" if match[3] else match[1])
    return number if number else number.copy_abs()


def read_list(value: Any) -> Any:
    """Return the items of a text with commas between them; anything but text is passed on."""
    return [item.strip() for item in value.split(",")] if isinstance(value, str) else value


def plain(number: Decimal) -> str:
    """Return `number` in plain digits without idle zeros, as a person would write it."""
    return f"{number.normalize():f}"


def written(value: Any) -> str:
    """Return a value as text in plain digits, a list with commas."""
    if isinstance(value, tuple):
        return ",".join(map(written, value))
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


Number = Annotated[Decimal, BeforeValidator(read_number)]
"""A number that keeps the digits it was typed with: up to 9 before the point, 6 after."""
