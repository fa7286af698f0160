"""What a connector file may say: a side, and its pins with function, colour and gauge."""

import re
from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema, model_validator

from baycompanion.text.clean import clean_line
from baycompanion.text.entries import NAME, check_line, check_name
from baycompanion.text.problem import nearest, quoted
from baycompanion.text.to_model import Written, wrong
from baycompanion.trade.copper import LEAST_MM2, MOST_MM2
from baycompanion.trade.gauge import without_unit, written_gauge
from baycompanion.trade.model import number_in
from baycompanion.trade.units import OF_NO_UNIT, unit_of
from baycompanion.wiring.functions import FUNCTIONS, Side

MOST_PINS = 200
"""Pins of one connector; a larger file is a slip."""
MOST_AMPS = 300
"""The largest current in A that is taken for no slip of the pen. Own choice."""
LONGEST_ID = 18
"""Letters of a connector's name, so that the table of a plan fits 80 columns."""
LONGEST_LINE = 300
NO_JOIN = "none"

COLOURS = (
    *("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"),
    *("pink", "turquoise", "gold", "silver"),
    *("light-blue", "dark-blue", "light-green", "dark-green", "tan", "clear"),
)
"""The colours of IEC 60757 by name (from memory), then shades that vehicles use besides."""

_SAME_COLOUR = {"gray": "grey", "purple": "violet", "beige": "tan", "transparent": "clear"}
_PIN = re.compile(r"[A-Za-z0-9]{1,8}")
_JOIN = re.compile(rf"{NO_JOIN}|{NAME.pattern}/{_PIN.pattern}")


def _check_id(text: str) -> str:
    return check_name(text, LONGEST_ID, "a connector")


def _check_pin(text: str) -> str:
    if not _PIN.fullmatch(text):
        raise wrong(f"{quoted(text)} is no name for a pin", "Write 1 to 8 letters and digits")
    return text


def _check_line(text: str) -> str:
    return check_line(text, LONGEST_LINE, "Write a few words", "Shorten it")


def _check_function(text: str) -> str:
    if text in FUNCTIONS:
        return text
    said = clean_line(text).casefold().replace(" ", "-").replace("_", "-")
    known = {other: each.word for each in FUNCTIONS.values() for other in (each.word, *each.also)}
    meant = nearest(said, known)
    near = meant.removeprefix("Did you mean ").removesuffix("?")
    offer = f"Did you mean {known[near]}?" if near in known else nearest(said, FUNCTIONS)
    raise wrong(f"{quoted(text)} is no function of a lead", offer)


def _check_colour(text: str) -> str:
    said = "-".join(clean_line(text).casefold().split())
    colour = _SAME_COLOUR.get(said, said)
    if colour not in COLOURS:
        hint = " A second colour goes under stripe:" if "/" in said else ""
        offer = nearest(said.partition("/")[0], [*COLOURS, *_SAME_COLOUR])
        raise wrong(f"{quoted(text)} is no colour known here", f"{offer}{hint}")
    return colour


def _check_gauge(text: str) -> str:
    try:
        return written_gauge(without_unit(text))
    except ValueError:
        raise wrong(
            f"{quoted(text)} is no gauge",
            "Write one from 4/0 to 40, like 18; an area goes under area-mm2:",
        ) from None


def _check_area(value: Any) -> Decimal:
    return _number(value, "area_mm2", LEAST_MM2, Decimal(MOST_MM2), "square millimetres, like 0.75")


def _check_current(value: Any) -> Decimal:
    return _number(value, "current_a", Decimal("0.001"), Decimal(MOST_AMPS), "amperes, like 0.3")


def _number(value: Any, name: str, least: Decimal, most: Decimal, written: str) -> Decimal:
    """Return the number typed for `name`, in the unit that the name carries."""
    if isinstance(value, Decimal):
        return value
    offer = f"Write {written}, from {least} to {most}"
    try:
        number = number_in(str(value), unit_of(name) or OF_NO_UNIT, name)
    except ValueError:
        raise wrong(f"{quoted(str(value))} cannot be read as a number here", offer) from None
    if not least <= number <= most:
        raise wrong(f"{quoted(str(value))} is out of range", offer)
    return number


def _check_join(text: str) -> str:
    if not _JOIN.fullmatch(text):
        raise wrong(
            f"{quoted(text)} names no lead",
            "Write connector/pin, like vehicle/4, or none to leave this lead over",
        )
    return text


_WORD = ["string", "integer"]
_NUMBER = {"type": ["number", "string"]}


def _as_text(pattern: str, longest: int) -> WithJsonSchema:
    """Return the schema of a name, which an editor may take for a number."""
    return WithJsonSchema({"type": _WORD, "pattern": f"^{pattern}$", "maxLength": longest})


ConnectorId = Annotated[str, AfterValidator(_check_id), _as_text(NAME.pattern, LONGEST_ID)]
PinName = Annotated[str, AfterValidator(_check_pin), _as_text(_PIN.pattern, 8)]
Line = Annotated[
    str,
    AfterValidator(_check_line),
    WithJsonSchema({"type": [*_WORD, "number", "boolean"], "pattern": "\\S"}),
]
FunctionWord = Annotated[
    str,
    AfterValidator(_check_function),
    WithJsonSchema(
        {
            "oneOf": [
                {"const": each.word, "description": each.meaning} for each in FUNCTIONS.values()
            ]
        }
    ),
]
Colour = Annotated[
    str,
    AfterValidator(_check_colour),
    WithJsonSchema({"type": "string", "examples": list(COLOURS)}),
]
Gauge = Annotated[str, AfterValidator(_check_gauge), WithJsonSchema({"type": _WORD})]
Area = Annotated[Decimal, BeforeValidator(_check_area), WithJsonSchema(_NUMBER)]
Current = Annotated[Decimal, BeforeValidator(_check_current), WithJsonSchema(_NUMBER)]
JoinTo = Annotated[
    str,
    AfterValidator(_check_join),
    WithJsonSchema({"type": "string", "pattern": f"^({_JOIN.pattern})$"}),
]


class Pin(Written):
    """One pin of a connector, and the lead that is on it."""

    pin: PinName
    """What is printed beside it, or its place."""
    function: FunctionWord
    """What the lead is for; `unknown` until it was measured."""
    colour: Colour | None = None
    """Its main colour; left out where it is not known."""
    stripe: Colour | None = None
    """The colour of its stripe, where it has one."""
    sleeve: Colour | None = None
    """The colour of the sleeve around it; a yellow one marks airbag circuits on many vehicles."""
    awg: Gauge | None = None
    """Its gauge."""
    area_mm2: Area | None = None
    """Its copper area in mm², where no gauge is printed on it."""
    current_a: Current | None = None
    """In A: the most it can give, where it supplies; the most it draws, where it does not."""
    supplies: bool | None = None
    """Whether it gives what its function says; needed only where its side does not tell."""
    bridged: bool | None = None
    """Whether it is an output that drives both leads of a speaker: neither may touch ground."""
    grounded: bool = False
    """Whether it is tied to body metal further on, as the returns of some speakers are."""
    join: JoinTo | None = None
    """The one lead it joins, in place of those of its function; or none, to leave it over.

    That lead keeps joining those of its own function. For a pair by itself, both name each other.
    """
    note: Line | None = None
    """What else there is to know of it."""

    @model_validator(mode="after")
    def _has_one_size(self) -> "Pin":
        if self.awg is not None and self.area_mm2 is not None:
            raise wrong(
                f"Pin {self.pin} has both awg and area-mm2", "Keep the one printed on the lead"
            )
        return self


def _check_pins(pins: tuple[Pin, ...]) -> tuple[Pin, ...]:
    if not pins:
        raise wrong("This connector has no pins", "Write at least one")
    if len(pins) > MOST_PINS:
        raise wrong(f"These are {len(pins)} pins", f"Keep {MOST_PINS} at most, or split the file")
    return pins


class ConnectorFile(Written):
    """One connector of the vehicle, the receiver, or something that is fitted besides."""

    connector: ConnectorId
    """Its name in the plan."""
    title: Line
    """What it is, in a few words."""
    side: Side
    """Where it belongs: the vehicle, the receiver, or an extra such as an amplifier."""
    source: Line
    """Where this was read, or who measured it."""
    pins: Annotated[tuple[Pin, ...], AfterValidator(_check_pins)]
    """The pins that have a lead."""
