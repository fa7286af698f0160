"""A reading from an instrument: kept as typed, with its unit, and as an exact decimal number."""

import re
from dataclasses import dataclass
from decimal import Decimal

from baycompanion.text.problem import quoted
from baycompanion.text.unit_typed import is_unit

_READING = re.compile(r"\s*([+-]?)([0-9]{1,12})(?:([.,])([0-9]{1,9}))?\s*([^\s0-9.,].{0,19}?)?\s*")


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading; `number` keeps the digits typed, so 12.60 stays apart from 12.6.

    `text` is what was typed, with the sign of the unit where its plain spelling was.
    """

    text: str
    number: Decimal
    unit: str


def parse_reading(text: str, unit: str) -> Reading:
    """Return the reading in `text`, whose unit is `unit` whether typed, spelt out or left out.

    A comma is read as the decimal sign; there is no grouping sign. Where it could be one, as in
    1,500, nobody can tell whether it was meant as such, a thousand times as much.

    Raises:
        ValueError: The text is no number, may be one of two, or carries another unit; the message
            is one sentence.
    """
    match = _READING.fullmatch(text.replace("−", "-"))
    wanted = f" in {unit}" if unit else ""
    if match is None:
        wrong = f"{quoted(text)} is no number" if text.strip() else "Nothing is typed yet"
        raise ValueError(f"{wrong}. Type a number{wanted}, like 12.6")
    sign, whole, mark, fraction, typed_unit = match.groups()
    if typed_unit and not unit:
        raise ValueError(f"{quoted(text)} carries a unit. Type a plain number")
    if typed_unit and not is_unit(typed_unit, unit):
        raise ValueError(f"{quoted(text)} is not in {unit}. Type the number in {unit}")
    if mark == "," and len(fraction) == 3 and len(whole) < 4 and whole[0] != "0":
        both = f"{sign}{whole}{fraction} or {sign}{whole}.{fraction}"
        raise ValueError(f"{quoted(text.strip())} can be read in two ways. Type {both}")
    digits = f"{sign}{whole}.{fraction}" if fraction else f"{sign}{whole}"
    kept = f"{text[: match.start(5)]}{unit}" if typed_unit else text
    return Reading(kept.strip(), Decimal(digits), unit)


def write_number(number: Decimal) -> str:
    """Return `number` in plain digits with the decimals it was typed with."""
    return f"{number:f}"
