"""American wire gauge: a gauge is no length, but a step of the formula that ASTM B258 gives."""

import re
from decimal import Decimal

from baycompanion.trade.circle import QUARTER_PI, circle_area

THICKEST = "4/0"
FINEST = "40"
MM_PER_MIL = Decimal("0.0254")
"""Exact, by the definition of the inch."""

_GAUGE = re.compile(r"[0-9]{1,2}|0{3,4}|[1-4]/0")


def gauge_number(awg: str) -> int:
    """Return n of a gauge as the formula wants it: 18 is 18, 1/0 is 0, 4/0 is -3.

    Raises:
        ValueError: The text is no gauge from 4/0 to 40.
    """
    if not _GAUGE.fullmatch(awg) or (awg.isdigit() and int(awg) > int(FINEST)):
        raise ValueError(f"no gauge from {THICKEST} to {FINEST}")
    if awg.strip("0") == "":
        return 1 - len(awg)
    return 1 - int(awg[0]) if "/" in awg else int(awg)


def written_gauge(awg: str) -> str:
    """Return the usual spelling of a gauge: 0 and 00 become 1/0 and 2/0.

    Raises:
        ValueError: The text is no gauge from 4/0 to 40.
    """
    number = gauge_number(awg)
    return str(number) if number > 0 else f"{1 - number}/0"


def without_unit(text: str) -> str:
    """Return the gauge in a text that may end with `AWG`."""
    bare = text.strip()
    return bare[:-3].strip() if bare[-3:].upper() == "AWG" else bare


def diameter_mil(awg: str) -> Decimal:
    """Return the diameter of a solid round wire, in mil (thousandths of an inch).

    Formula: d = 5 × 92^((36 − n) ÷ 39).
    Source: the definition of American wire gauge, as copied in encyclopedias; that it is
    ASTM B258's is from memory.

    Raises:
        ValueError: The text is no gauge from 4/0 to 40.
    """
    return 5 * Decimal(92) ** (Decimal(36 - gauge_number(awg)) / 39)


def area_cmil(awg: str) -> Decimal:
    """Return the copper area of a wire in circular mils, to 0.01: its diameter in mil, squared.

    Stranded and vehicle wire of the same number holds less, down to a tenth less (SAE sizes).

    Raises:
        ValueError: The text is no gauge from 4/0 to 40.
    """
    return round(diameter_mil(awg) ** 2, 2)


def area_mm2(awg: str) -> Decimal:
    """Return the copper area of a wire in mm²: π ÷ 4 × (0.0254 × its diameter in mil)².

    Raises:
        ValueError: The text is no gauge from 4/0 to 40.
    """
    return circle_area(diameter_mil(awg) * MM_PER_MIL)


def mm2_in_cmil(area: Decimal) -> Decimal:
    """Return an area given in mm² in circular mils, to 0.01."""
    return round(area / (QUARTER_PI * MM_PER_MIL * MM_PER_MIL), 2)
