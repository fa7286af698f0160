"""Copper wire: what is typed for one, what it resists, and the current it may carry."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator

from baycompanion.trade.gauge import (
    area_cmil,
    area_mm2,
    gauge_number,
    mm2_in_cmil,
    without_unit,
    written_gauge,
)
from baycompanion.trade.model import Takes, number_in, plain
from baycompanion.trade.units import Unit

RESISTIVITY = Decimal("0.017241")
"""Of annealed copper at 20 °C, Ω mm²/m: the International Annealed Copper Standard (IEC 60028)."""

PER_KELVIN = Decimal("0.00393")
"""How much the resistance grows per K, as a share of that at 20 °C; a handbook of power."""

AMPACITY = (
    *(("22", 5), ("20", 8), ("18", 15), ("16", 20), ("14", 25), ("12", 35), ("10", 50), ("8", 70)),
    *(("6", 100), ("4", 130), ("2", 180), ("1", 210), ("1/0", 245), ("2/0", 285), ("3/0", 330)),
    ("4/0", 385),
)
"""Current in A that a gauge may carry, and the gauges that are offered.

18 AWG and thicker: 33 CFR 183.425, Table 5, insulation for 80 °C, in 30 °C; it is the law for
boats, and none was found for vehicles. 3 AWG, hardly sold, is left out. 22 and 20 AWG: MIL-W-5088B
as printed in a load maker's manual (address left out: company name), cut to whole amperes."""

LEAST_MM2, MOST_MM2 = Decimal("0.05"), Decimal(120)
_WIRE = Unit("mm²", "a gauge or an area")


@dataclass(frozen=True, slots=True)
class Wire:
    """A copper wire by what is printed on it: a gauge, or its area in mm²."""

    gauge: str | None
    area: Decimal | None = None

    def __str__(self) -> str:
        """Return the wire as it is typed."""
        return self.gauge or f"{plain(self.area or Decimal())} mm²"

    @property
    def said(self) -> str:
        """The wire in a sentence."""
        return f"{self.gauge} AWG" if self.gauge else f"{plain(round(self.mm2, 3))} mm²"

    @property
    def mm2(self) -> Decimal:
        """Copper area in mm²."""
        return area_mm2(self.gauge) if self.gauge else self.area or Decimal()

    @property
    def cmil(self) -> Decimal:
        """Copper area in circular mils, to 0.01."""
        return area_cmil(self.gauge) if self.gauge else mm2_in_cmil(self.mm2)


OFFERED = tuple(Wire(gauge) for gauge, _ in AMPACITY)
"""The wires that a sum chooses from, the finest first."""


def read_wire(value: Any) -> Any:
    """Return the wire in a text: a gauge like `18` or `4/0 AWG`, or an area like `2 mm2`.

    Raises:
        ValueError: It is neither, or out of the range of either.
    """
    if not isinstance(value, str):
        return value
    try:
        return Wire(written_gauge(without_unit(value)))
    except ValueError:
        if not re.search("[A-Za-z]", value):
            raise  # a bare number is meant for a gauge, never for an area
    area = number_in(value, _WIRE, "awg")
    if not LEAST_MM2 <= area <= MOST_MM2:
        raise ValueError("no wire for a vehicle")
    return Wire(None, area)


OneWire = Annotated[
    Wire,
    BeforeValidator(read_wire),
    Takes(f"a gauge from 4/0 to 40, or an area from {LEAST_MM2} to {MOST_MM2} mm2"),
]
"""A wire by gauge or by area."""


def resistance_ohm(area: Decimal, length_m: Decimal, temperature_c: Decimal) -> Decimal:
    """Return the resistance in Ω of `length_m` of copper of `area` mm² at a temperature.

    Formula: R = 0.017241 × length ÷ area × (1 + 0.00393 × (T − 20)).
    """
    return RESISTIVITY * length_m / area * (1 + PER_KELVIN * (temperature_c - 20))


def may_carry_a(area: Decimal) -> Decimal | None:
    """Return the current in A that copper of `area` mm² may carry, by the next finer gauge.

    Returns None where the wire is finer than the table goes.
    """
    # A hair's allowance: an area typed to some digits is the gauge that it was taken from.
    thinner = [amperes for gauge, amperes in AMPACITY if area_mm2(gauge) <= area * 1000 / 999]
    return Decimal(thinner[-1]) if thinner else None


def told_gauge(wire: Wire) -> int | str:
    """Return the gauge of a wire as a result: a number, or `1/0` and the like."""
    gauge = wire.gauge or ""
    return gauge_number(gauge) if gauge.isdigit() else gauge
