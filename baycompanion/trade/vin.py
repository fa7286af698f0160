"""Vehicle identification numbers: the check digit, the years they may mean, and the region."""

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from baycompanion.trade.model import Inputs, Result, Takes

VALUES = {
    **{digit: int(digit) for digit in "0123456789"},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    **dict(zip("PR", (7, 9), strict=True)),
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
"""What each sign counts, 49 CFR 565.15, Table III; I, O and Q never occur."""

WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
"""What each place weighs, 49 CFR 565.15, Table IV; the ninth is the check digit itself."""

YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789"
"""The tenth sign from 1980 on, and again from 2010 on: 49 CFR 565.15, Table VI."""

Where = Literal[
    "africa", "asia", "europe", "north america", "oceania", "south america", "not assigned"
]

_REGIONS: tuple[tuple[str, Where], ...] = (
    ("ABCDEFGH", "africa"),
    ("JKLMNPR", "asia"),
    ("STUVWXYZ", "europe"),
    ("12345", "north america"),
    ("6", "oceania"),
    ("89", "south america"),
)
"""Region by the first sign, ISO 3780 as copied in encyclopedias; 7 is shared by two regions."""


def read_vin(value: Any) -> Any:
    """Return a VIN in capitals without the spaces and dashes it was typed with.

    Raises:
        ValueError: It is not 17 of the signs that a VIN may have.
    """
    if not isinstance(value, str):
        return value
    vin = re.sub(r"[\s-]", "", value).upper()
    if len(vin) != len(WEIGHTS) or any(sign not in VALUES for sign in vin):
        raise ValueError("no VIN")
    return vin


class VinInputs(Inputs):
    """What the plate says."""

    vin: Annotated[
        str,
        BeforeValidator(read_vin),
        Takes("17 letters and digits, never I, O or Q; a vehicle before 1981 has another number"),
    ] = Field(examples=["1G4AH59H45G118341"])
    """The number as read from the plate or the windshield, not from a paper."""


class VinResult(Result):
    """What the number tells of itself."""

    check_ok: bool
    """Whether the ninth sign is the check digit that the rest gives."""
    check_expected: str
    """The check digit that the rest gives: 0 to 9, or X for 10."""
    years: tuple[int, ...]
    """The model years that the tenth sign may mean; none where it is no sign of a year."""
    region: Where
    """Region of the manufacturer, by the first sign."""


def vin(given: VinInputs) -> VinResult:
    """Is the VIN copied without a slip, as far as its check digit tells, and from which years.

    Formula: each sign's value × the weight of its place, summed; the remainder by 11 is the check
    digit, and 10 is written X.
    Good: the check digit fits, or the region is not North America. It is a duty there only, and
    vehicles from elsewhere may carry any sign in its place; the tenth sign need not be a year there
    either.
    Units: none; years as in 1989.
    Range: 17 signs, letters without I, O and Q, and digits.
    Errors: none once the inputs are accepted.
    Source: 49 CFR 565.15, Tables III, IV and VI; a digit in place 7 for 1980 to 2009 and a letter
    for 2010 to 2039, in light vehicles for North America only, from 565.15(b) and its rulemaking
    record; regions from ISO 3780 as copied in encyclopedias.
    """
    products = [VALUES[sign] * weight for sign, weight in zip(given.vin, WEIGHTS, strict=True)]
    rest = sum(products) % 11
    expected = "X" if rest == 10 else str(rest)
    check_ok, region = given.vin[8] == expected, _region(given.vin)
    at = YEARS.find(given.vin[9])
    years = () if at < 0 else (1980 + at, 2010 + at)
    return VinResult(
        check_ok=check_ok,
        check_expected=expected,
        years=years,
        region=region,
        verdict="good" if check_ok or region != "north america" else "bad",
        because=_said_of_check(given.vin, expected) + _said_of_years(given.vin, years) + ".",
        shown=f"{' + '.join(map(str, products))} = {sum(products)};"
        f" the rest by 11 is {rest}, so {expected}",
    )


def _region(number: str) -> Where:
    """Return the region of the first sign; 7 with a letter to E is New Zealand's, else the US's."""
    if number[0] == "7":
        return "oceania" if number[1] in "ABCDE" else "north america"
    return next((where for signs, where in _REGIONS if number[0] in signs), "not assigned")


def _said_of_check(number: str, expected: str) -> str:
    if number[8] == expected:
        return "The check digit fits"
    told = f"The ninth sign is {number[8]} and {expected} was expected"
    if _region(number) == "north america":
        return f"{told}, and in North America it must fit, so read the VIN again"
    return f"{told}; outside North America it need not fit, but read the VIN again"


def _said_of_years(number: str, years: tuple[int, ...]) -> str:
    if not years:
        return f"; {number[9]} in place 10 is no year"
    either = f"; model year {years[0]} or {years[1]}"
    if _region(number) != "north america":
        return f"{either}, if place 10 is a year at all"
    likely = years[0] if number[6].isdigit() else years[1]
    return f"{either}, and in a light vehicle place 7 speaks for {likely}"
