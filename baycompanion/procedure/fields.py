"""The small kinds of value that a procedure file is made of."""

import datetime
from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema

from baycompanion.text.duration import parse_duration
from baycompanion.text.entries import NAME, check_line, check_name
from baycompanion.text.problem import quoted
from baycompanion.text.reading import parse_reading
from baycompanion.text.to_model import wrong

LONGEST_ID = 60
LONGEST_LINE = 500


def _check_id(text: str) -> str:
    return check_name(text, LONGEST_ID, "a thing in a procedure")


def _check_line(text: str) -> str:
    return check_line(text, LONGEST_LINE, "Write what belongs here", "Split it")


def _check_span(value: Any) -> int:
    if isinstance(value, int):
        return value
    try:
        return parse_duration(str(value))
    except ValueError as error:
        what, _, instead = str(error).partition(". ")
        raise wrong(what, instead) from None


def _check_number(value: Any) -> Decimal:
    if isinstance(value, Decimal):
        return value
    try:
        return parse_reading(str(value), "").number
    except ValueError:
        raise wrong(
            f"{quoted(str(value))} is no number", "Write digits, with a point for decimals"
        ) from None


def _check_day(value: Any) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    try:
        return datetime.datetime.strptime(str(value), "%Y-%m-%d").date()
    except ValueError:
        raise wrong(f"{quoted(str(value))} is no date", "Write it like 2026-11-25") from None


_WORD_TYPES = ["string", "integer", "boolean"]
"""What an editor takes one word for, which this program reads as text: `7` and `yes` are words."""

Id = Annotated[
    str,
    AfterValidator(_check_id),
    WithJsonSchema(
        {"type": _WORD_TYPES, "pattern": f"^{NAME.pattern}$", "maxLength": LONGEST_ID, "minimum": 0}
    ),
]
"""A name that other parts of a file refer to."""

Line = Annotated[
    str,
    AfterValidator(_check_line),
    WithJsonSchema({"type": [*_WORD_TYPES, "number"], "pattern": "\\S"}),
]
"""One line of text, cleaned, 1 to 500 characters."""

Span = Annotated[
    int,
    BeforeValidator(_check_span),
    WithJsonSchema(
        {
            "type": "string",
            "pattern": r"^\s*[0-9]+\s*(d|h|min|s)(\s*[0-9]+\s*(h|min|s))*\s*$",
            "examples": ["20 min", "1 h 30 min", "90 s"],
        }
    ),
]
"""A length of time, in whole seconds."""

Day = Annotated[
    datetime.date,
    BeforeValidator(_check_day),
    WithJsonSchema({"type": "string", "format": "date", "examples": ["2026-11-25"]}),
]
"""A day of the calendar, written like 2026-11-25."""

Number = Annotated[
    Decimal,
    BeforeValidator(_check_number),
    WithJsonSchema({"type": ["number", "string"], "examples": [12.4]}),
]
"""A decimal number that keeps the digits it was written with."""


def _check_some(items: tuple[Any, ...]) -> tuple[Any, ...]:
    if not items:
        raise wrong("This list is empty", "Write at least one item")
    return items


Some = AfterValidator(_check_some)
"""Goes with a list that must hold at least one item."""
