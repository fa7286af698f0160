"""What the inputs and the results of every sum are made of."""

import re
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo, model_validator
from pydantic_core import PydanticCustomError

from baycompanion.trade.gauge import area_mm2, mm2_in_cmil, without_unit, written_gauge
from baycompanion.trade.units import OF_NO_UNIT, Unit, converted, is_own, rounded, told, unit_of

Verdict = Literal["good", "bad"]

OTHER_QUANTITY = "other_quantity"
"""The kind of finding for a number in a unit that measures something else."""

_NUMBER = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<over>[0-9]{1,4})/(?P<under>[0-9]{1,4})"
    r"|(?P<whole>[0-9]{1,9})(?:(?P<comma>[.,])(?P<part>[0-9]{1,9})"
    r"|[ -](?P<more_over>[0-9]{1,4})/(?P<more_under>[0-9]{1,4}))?)"
    r"\s*(?P<unit>[^0-9\s].{0,24})?",
    re.DOTALL,
)


class Inputs(BaseModel):
    """Parent of what a sum is given: units stand in the names, ranges in the fields."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", use_attribute_docstrings=True, defer_build=True
    )

    one_of: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Ways to say the same thing, each the names of what is typed for it: just one is taken."""

    @model_validator(mode="after")
    def _says_it_in_one_way(self) -> Self:
        typed = {name for name, value in self if value is not None}
        if wrong := wrong_way(self.one_of, typed):
            raise ValueError(wrong)
        return self


def wrong_way(ways: tuple[tuple[str, ...], ...], typed: Collection[str]) -> str:
    """Return what is wrong with the names that were typed, or nothing where one way was taken."""
    begun = [way for way in ways if any(name in typed for name in way)]
    if len(begun) > 1:
        both = " and ".join(next(name for name in way if name in typed) for way in begun)
        return f"{both} came together: type one of the two."
    if ways and not begun:
        return f"{' or '.join(' with '.join(way) for way in ways)} is missing: type one of the two."
    missing = [name for way in begun for name in way if name not in typed]
    return f"{' and '.join(missing)} is missing: type it too." if missing else ""


class Result(BaseModel):
    """Parent of what a sum finds; each sum puts its numbers before the verdict."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", use_attribute_docstrings=True, defer_build=True
    )

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


def read_number(value: Any, info: ValidationInfo) -> Any:
    """Return the number in a text, in the unit that the name of the field carries.

    A comma is read as the decimal sign; `3/4` and `1 3/4` are fractions; another unit of the same
    quantity may follow. Anything but text is passed on as it is.

    Raises:
        ValueError: The text is no number, its comma could as well part thousands, or its unit is
            none or measures something else.
    """
    if not isinstance(value, str):
        return value
    name = info.field_name or ""
    return number_in(value, unit_of(name) or OF_NO_UNIT, name)


def number_in(text: str, unit: Unit, name: str) -> Decimal:
    """Return the number in `text`, in `unit`; `name` is the field it was typed for.

    Raises:
        ValueError: As in `read_number`.
    """
    gauge = without_unit(text)
    if gauge != text.strip():
        return _area_of(gauge, unit, name)
    match = _NUMBER.fullmatch(text.strip().replace("−", "-"))
    if match is None or (match["comma"] == "," and len(match["part"]) == 3):
        raise ValueError("no plain number")
    typed = " ".join((match["unit"] or "").split())
    number = _digits(match)
    if not typed or is_own(typed, unit):
        return number if number else number.copy_abs()
    try:
        return rounded(converted(number, typed, unit, name))
    except LookupError:
        raise ValueError("no unit") from None
    except ValueError as error:
        raise PydanticCustomError(OTHER_QUANTITY, "{said}", {"said": str(error)}) from None


def _area_of(gauge: str, unit: Unit, name: str) -> Decimal:
    """Return the area of a gauge, in `unit`: a gauge is no unit, so no library knows it."""
    if unit.quantity != "an area":
        said = f"AWG is a gauge, and {told(name, unit)}"
        raise PydanticCustomError(OTHER_QUANTITY, "{said}", {"said": said})
    with localcontext(Context(prec=28)):
        area = area_mm2(written_gauge(gauge))
        return rounded(area if unit.symbol == "mm²" else mm2_in_cmil(area))


def _digits(match: re.Match[str]) -> Decimal:
    """Return the number that was typed before the unit, a fraction rounded as a conversion is."""
    if match["part"]:
        return Decimal(f"{match['sign']}{match['whole']}.{match['part']}")
    over, under = (match[f"more_{end}"] or match[end] for end in ("over", "under"))
    if not under:
        return Decimal(match["sign"] + match["whole"])
    if int(under) == 0:
        raise ValueError("nothing divides by 0")
    share = Fraction(int(match["whole"] or 0)) + Fraction(int(over), int(under))
    with localcontext(Context(prec=28)):
        number = rounded(Decimal(share.numerator) / Decimal(share.denominator))
    return number.copy_negate() if match["sign"] == "-" else number


def read_list(value: Any) -> Any:
    """Return the items of a text with commas between them; anything but text is passed on."""
    return [item.strip() for item in value.split(",")] if isinstance(value, str) else value


def plain(number: Decimal) -> str:
    """Return `number` in plain digits without idle zeros, as a person would write it."""
    return f"{number.normalize():f}"


def signed(number: Decimal) -> str:
    """Return a number fit to stand after a sign of arithmetic."""
    return f"({plain(number)})" if number < 0 else plain(number)


def written(value: Any) -> str:
    """Return a value as text in plain digits, a list with commas, yes or no for true or false."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ",".join(map(written, value))
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


Number = Annotated[Decimal, BeforeValidator(read_number)]
"""A number that keeps the digits it was typed with: up to 9 before the point, 9 after."""
