"""Units: which one a name carries, and how a number typed in another is brought to it.

The units library is imported only when a unit other than the field's own was typed.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Context, Decimal, localcontext
from functools import cache
from typing import Any

MOST_DECIMALS = 9
"""A converted number is rounded to this many digits after the point, and so may be typed again."""


@dataclass(frozen=True, slots=True)
class Unit:
    """The unit that the name of an input or a result carries."""

    symbol: str
    quantity: str
    """What it measures, with its article, as in `a length`."""


UNITS = {
    "a": Unit("A", "a current"),
    "ah": Unit("Ah", "a charge"),
    "awg": Unit("AWG", "a gauge"),
    "c": Unit("°C", "a temperature"),
    "cmil": Unit("cmil", "an area"),
    "days": Unit("days", "a time"),
    "hours": Unit("h", "a time"),
    "lbf_in": Unit("lbf in", "a torque"),
    "m": Unit("m", "a length"),
    "ma": Unit("mA", "a current"),
    "mm": Unit("mm", "a length"),
    "mm2": Unit("mm²", "an area"),
    "mohm": Unit("mΩ", "a resistance"),
    "mv": Unit("mV", "a voltage"),
    "n": Unit("N", "a force"),
    "nm": Unit("N m", "a torque"),
    "ohm": Unit("Ω", "a resistance"),
    "pct": Unit("%", "a share"),
    "v": Unit("V", "a voltage"),
    "volts": Unit("V", "a voltage"),
    "w": Unit("W", "a power"),
    "watts": Unit("W", "a power"),
}
"""The unit by the words that a name ends with or, if none fits, by the one it begins with."""

OF_NO_UNIT = Unit("", "a plain number")

_QUANTITIES = {
    **{unit.symbol: unit.quantity for unit in UNITS.values() if unit.symbol != "AWG"},
    "Hz": "a frequency",
    "kg": "a mass",
    "Pa": "a pressure",
}
"""What a unit measures, by one unit of each kind."""

_SPELT = {
    "°C": "degC",
    "°F": "degF",
    "%": "percent",
    "mil": "thou",
    "Nm": "N.m",
    **dict.fromkeys('"″”', "inch"),
    **dict.fromkeys("'′", "foot"),
}
"""Spellings of the bench that the units library has no name for, or another meaning."""

_SPELT_FOR = {
    "a temperature": {"C": "degC", "F": "degF", "K": "kelvin"},
    "a torque": {"lb": "lbf", "oz": "ozf", "kg": "kgf", "nm": "N.m"},
}
"""Spellings that mean something only where that quantity is asked for."""

_OHM = re.compile(r"\b([kmM]?)(?:(?i:ohms?)|R)\b")
_DEGREE = re.compile(r"(?:[°º˚]|\b(?i:degrees?|deg))\s*([CFcf])\b")
"""What is typed for the signs of ohm and degree; R as on components (IEC 60062, from memory)."""

_FACTOR = re.compile("([A-Za-zµμΩΩ°%\"″”'′]{1,20})(?:\\^?([23])|([²³]))?")
_BETWEEN = re.compile(r"\s*[.·⋅*-]\s*|\s+")


def unit_of(name: str) -> Unit | None:
    """Return the unit that the name of an input or a result carries, or None."""
    words = name.split("_")
    for ending in ("_".join(words[-2:]), words[-1], words[0]):
        if ending in UNITS:
            return UNITS[ending]
    return None


def is_own(typed: str, unit: Unit) -> bool:
    """Return whether `typed` is `unit` itself, in any case and with or without its spaces."""
    return _bare(typed) == _bare(unit.symbol)


def _bare(typed: str) -> str:
    return _with_signs(typed).replace(" ", "").replace("²", "2").casefold()


def _with_signs(typed: str) -> str:
    """Return a unit with the signs that were spelt out, for keyboards lack them."""
    ohms = _OHM.sub(r"\1Ω", typed.replace("℃", "°C"))
    return _DEGREE.sub(lambda match: f"°{match[1].upper()}", ohms)


def told(name: str, unit: Unit) -> str:
    """Return what a field is, as in `current_a is a current in A`."""
    return f"{name} is {unit.quantity}{f' in {unit.symbol}' if unit.symbol else ''}"


def converted(number: Decimal, typed: str, unit: Unit, name: str) -> Decimal:
    """Return `number` of the unit `typed`, brought to `unit`, to 28 significant digits.

    Source: the definitions of the pint library, which are NIST SP 811's and exact where those are.

    Raises:
        LookupError: `typed` is no unit.
        ValueError: It measures something else; the message says what, and what `name` is.
    """
    pint = _library()
    with localcontext(Context(prec=28)):
        source = _parsed(typed, unit.quantity)
        target = _parsed(unit.symbol or "%", unit.quantity)
        try:
            found: Decimal = pint.Quantity(number, source).to(target).magnitude
        except _dimension_error():
            measures = _quantity_of(source)
            raise ValueError(f"{typed} is {measures}, and {told(name, unit)}") from None
        except (ValueError, TypeError, ArithmeticError):
            raise LookupError(typed) from None
        return found if unit.symbol else found / 100


def rounded(number: Decimal) -> Decimal:
    """Return a number with the digits that may be typed again, without idle zeros.

    Raises:
        LookupError: It is so large that no field here takes it.
    """
    if number.adjusted() > MOST_DECIMALS:
        raise LookupError("too large")
    with localcontext(Context(prec=28)):
        return Decimal(f"{round(number, MOST_DECIMALS).normalize():f}")


def _parsed(typed: str, quantity: str) -> Any:
    """Return the unit of the library that a text spells, or raise LookupError."""
    found = _library().Unit("")
    spelt = {**_SPELT, **_SPELT_FOR.get(quantity, {})}
    try:
        for name, power in _factors(_with_signs(typed), spelt):
            found *= _library().parse_units(name) ** power
    except (AttributeError, ValueError, TypeError, ArithmeticError):
        raise LookupError(typed) from None
    return found


def _factors(typed: str, spelt: dict[str, str]) -> Iterator[tuple[str, int]]:
    """Yield the name and the power of each unit that is multiplied in a text."""
    for part in _BETWEEN.split(typed.strip()):
        match = _FACTOR.fullmatch(part)
        if match is None:
            raise LookupError(typed)
        power = int(match[2] or {"²": "2", "³": "3"}.get(match[3], "1"))
        for name in spelt.get(match[1], match[1]).split("."):
            yield name, power


def _quantity_of(source: Any) -> str:
    """Return what a unit of the library measures, with its article."""
    for symbol, quantity in _QUANTITIES.items():
        if source.dimensionality == _parsed(symbol, quantity).dimensionality:
            return quantity
    return "something else"


@cache
def _library() -> Any:
    """Return the registry of units, whose numbers are decimals."""
    import pint

    with localcontext(Context(prec=28)):
        registry: Any = pint.UnitRegistry(non_int_type=Decimal)
        registry.Quantity(Decimal(1), "mile").to("kilometer")
    return registry


def _dimension_error() -> type[Exception]:
    import pint

    return pint.DimensionalityError
