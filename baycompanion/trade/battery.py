"""The battery: how full it is at rest, how long it may stand, and how long it feeds a load."""

import math
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from pydantic import Field

from baycompanion.trade.model import Inputs, Number, Result, Verdict, plain, signed

REST_MV = {
    "flooded": (
        ((11600, 0), (12000, 25), (12200, 50), (12400, 75), (12600, 100)),
        ((11890, 0), (12060, 25), (12240, 50), (12450, 75), (12650, 100)),
    ),
    "agm": (
        (
            *((11600, 10), (11700, 20), (11800, 30), (12000, 40), (12100, 50)),
            *((12200, 60), (12300, 70), (12500, 80), (12600, 90), (12700, 100)),
        ),
        ((11800, 0), (12000, 25), (12300, 50), (12600, 75), (12800, 100)),
    ),
}
"""Rest voltage in mV and state of charge in %, two published tables a kind; under the first row a
table says 0. Flooded: a radio list's post; a lecturer's page on terminal voltage (2009). AGM: a
travellers' page on 12 V batteries; an owner's manual (address left out: brand), its 0 % row as
printed on a general answers page."""

TABLES_C = Decimal("26.7")
"""Temperature at which the rest voltages are read as they are, °C (80 °F)."""
V_PER_C = Decimal("0.00432")
"""How much more a warmer battery may read at the same charge, V per °C (0.024 V in 10 °F): a
battery maker's table (address left out: company name). A workshop bulletin corrects nothing
above 0 °C and 0.10 V below, another page nothing at all: so it widens the band only."""

REST_HOURS = Decimal(4)
"""Hours without charge or load before a reading counts, by a battery maker's lexicon."""
REST_HOURS_REMOVED = Decimal("0.1")
"""The same once the surface charge is removed, rounded up from 5 minutes: headlamps on for 15 s,
then up to 5 min to settle, by two vehicle makers' workshop manuals (addresses left out)."""
HOW_TO_REMOVE = ", or switch the headlamps on for 15 s and off for 5 min, and read it then"
HIGHEST_REST_V = Decimal("13.2")
"""Above this no 12 V lead battery is at rest: the top of the AGM tables."""


class BatteryRestInputs(Inputs):
    """A reading at the posts of a 12 V lead battery, nothing charging it or drawing from it."""

    volts: Number = Field(ge=6, le=16, examples=["12.6"])
    """Reading at the battery posts."""
    kind: Literal["flooded", "agm"]
    """Flooded (wet) or AGM (absorbed in glass mat), as printed on the battery."""
    temperature_c: Number = Field(ge=-30, le=60, examples=["20"])
    """Temperature of the battery."""
    hours_at_rest: Number = Field(ge=0, le=10_000, examples=["4"])
    """Time since it was last charged or loaded, or since the surface charge was removed."""
    surface_charge: Literal["left", "removed"] = "left"
    """Removed where the headlamps were on for 15 s and have been off for 5 min, else left."""
    lowest_v: Number = Field(default=Decimal("12.4"), ge=11, le=13, examples=["12.4"])
    """The least to start work on; 12.4 is where two makers' manuals let a load test begin."""


class BatteryRestResult(Result):
    """How full the battery is, as far as published tables agree."""

    state_of_charge_pct: int
    """The lowest that a table gives, rounded down to 5 %."""
    state_of_charge_most_pct: int
    """The highest that a table gives, rounded up to 5 %."""


def battery_rest(given: BatteryRestInputs) -> BatteryRestResult:
    """Is the battery full enough to start work: its rest voltage against tables of charge.

    Formula: straight lines between the rows of two tables for the kind of battery, read at the
    reading and at the reading + 0.00432 × (26.7 − temperature); the lowest and the highest of the
    four make the band, rounded outward to 5 %. Tables disagree and a 1 % meter is some 15 % of
    charge, so a band is all that a voltage can say.
    Good: rested 4 h (0.1 h once the surface charge is removed), at most 13.2 V, and the lower of
    the two voltages at least lowest_v.
    Units: V, °C, h, %.
    Range: 6 to 16 V, -30 to 60 °C, 0 to 10000 h, lowest_v 11 to 13 V; 12 V batteries only.
    Errors: none once the inputs are accepted.
    Source: two published tables a kind; the correction from a battery maker's table; 4 h from
    another maker's lexicon; the surface charge and 12.4 V from two vehicle makers' workshop
    manuals (addresses left out: names). 12.4 V for AGM is common practice. No standard was found.
    """
    corrected = round(given.volts + (TABLES_C - given.temperature_c) * V_PER_C, 2)
    low, high = sorted((given.volts, corrected))
    tables = REST_MV[given.kind]
    least = math.floor(min(_charge(table, low) for table in tables) / 5) * 5
    most = math.ceil(max(_charge(table, high) for table in tables) / 5) * 5
    charge = f"{least} %" if least == most else f"{least} to {most} %"
    verdict, because = _rest_verdict(given, low, charge)
    return BatteryRestResult(
        state_of_charge_pct=least,
        state_of_charge_most_pct=most,
        verdict=verdict,
        because=because,
        shown=f"{plain(given.volts)} V + 0 to {V_PER_C} × ({TABLES_C} −"
        f" {signed(given.temperature_c)}) V = {plain(low)} to {plain(high)} V,"
        f" by two tables {charge}",
    )


def _charge(table: tuple[tuple[int, int], ...], volts: Decimal) -> Decimal:
    """Return the state of charge, %, that a table gives for a voltage."""
    millivolts = volts * 1000
    if millivolts < table[0][0]:
        return Decimal(0)
    for (below, percent), (above, more) in pairwise(table):
        if millivolts <= above:
            return percent + (more - percent) * (millivolts - below) / (above - below)
    return Decimal(100)


def _rest_verdict(given: BatteryRestInputs, low: Decimal, charge: str) -> tuple[Verdict, str]:
    left = given.surface_charge == "left"
    wait = REST_HOURS if left else REST_HOURS_REMOVED
    volts, least = plain(given.volts), plain(given.lowest_v)
    if given.hours_at_rest < wait:
        return "bad", (
            f"After {plain(given.hours_at_rest)} h at rest {volts} V does not count yet: read it"
            f" after {plain(wait)} h{HOW_TO_REMOVE if left else ''}."
        )
    if given.volts > HIGHEST_REST_V:
        return "bad", (
            f"{volts} V is no rest voltage of a 12 V battery: find what charges it and read it"
            " again."
        )
    reading = volts if low == given.volts else f"{volts} V, in this heat worth {plain(low)}"
    if low < given.lowest_v:
        return "bad", f"{reading} V ({charge} charged) is below {least} V: charge it before work."
    return "good", f"{reading} V ({charge} charged) is at least {least} V."


class KeyOffInputs(Inputs):
    """What the vehicle draws asleep, and the battery it draws from."""

    draw_ma: Number = Field(ge=1, le=10_000, examples=["35"])
    """Key-off draw, read once the modules sleep (20 to 60 min is common practice, no source)."""
    battery_ah: Number = Field(ge=5, le=400, examples=["60"])
    """Capacity of the battery; where only reserve minutes are printed, some 0.6 × those."""
    share_usable: Number = Field(default=Decimal("0.4"), ge=Decimal("0.05"), le=1, examples=["0.4"])
    """Share of it that may go before the engine no longer starts; 0.4 by a maker's bulletin."""
    limit_ma: Number = Field(default=Decimal(50), ge=1, le=1000, examples=["50"])
    """The most that counts as good; 50 is common practice, 25 to 50 in lists."""


class KeyOffResult(Result):
    """How long the vehicle may stand."""

    days_to_no_start: Decimal
    """Days until the engine may no longer start, to 0.1."""


def key_off(given: KeyOffInputs) -> KeyOffResult:
    """Will the battery still start the engine after days of standing: the draw against a limit.

    Formula: days = Ah × share ÷ (A × 24); good if the draw is at most the limit.
    Assumed: a full, sound battery at about 25 °C. Cold, age and self-discharge make it fewer days.
    Units: mA, Ah, days; the share is a plain number.
    Range: draw 1 to 10000 mA, battery 5 to 400 Ah, share 0.05 to 1, limit 1 to 1000 mA.
    Errors: none once the inputs are accepted.
    Source: capacity over current; the share of 0.4 and 0.6 Ah a reserve minute from a vehicle
    maker's bulletin (address left out: vehicle name); the limit is common practice.
    """
    days = given.battery_ah * given.share_usable * 1000 / (given.draw_ma * 24)
    draw, limit = plain(given.draw_ma), plain(given.limit_ma)
    good = given.draw_ma <= given.limit_ma
    return KeyOffResult(
        days_to_no_start=round(days, 1),
        verdict="good" if good else "bad",
        because=f"{draw} mA is {'within' if good else 'over'} the limit of {limit} mA; the engine"
        f" should start for about {round(days, 1)} days.",
        shown=f"{plain(given.battery_ah)} Ah × {plain(given.share_usable)} × 1000 ÷"
        f" ({draw} mA × 24) = {round(days, 1)} days",
    )


class RunTimeInputs(Inputs):
    """A load on the battery with the engine off, and how far it may go."""

    one_of = (("share_usable",), ("cutoff_v",))

    load_a: Number = Field(ge=Decimal("0.01"), le=500, examples=["5"])
    """Current of the load, taken as steady."""
    battery_ah: Number = Field(ge=5, le=400, examples=["60"])
    """Capacity of the battery as printed, at the 20-hour rate."""
    share_usable: Number | None = Field(default=None, ge=Decimal("0.05"), le=1, examples=["0.5"])
    """Share of it that may go; 0.4 leaves enough to start. Leave it out where cutoff_v is typed."""
    cutoff_v: Number | None = Field(default=None, ge=Decimal("11.6"), le=13, examples=["12.2"])
    """Rest voltage at which it is enough; leave it out where share_usable is typed."""
    kind: Literal["flooded", "agm"] = "flooded"
    """Flooded (wet) or AGM; counts only where cutoff_v is typed."""
    peukert: Number = Field(default=Decimal(1), ge=1, le=Decimal("1.6"), examples=["1.2"])
    """How much faster a heavy load empties it: 1 not at all, 1.2 is usual for flooded."""
    wanted_hours: Number | None = Field(default=None, ge=Decimal("0.01"), le=10_000, examples=["3"])
    """The least time that will do; left out, any will."""

    @property
    def share(self) -> Decimal:
        """Share of the capacity that may go, to 0.01: typed, or by the table that leaves least."""
        if self.share_usable is not None:
            return self.share_usable
        cutoff = self.cutoff_v or Decimal()
        left = max(_charge(table, cutoff) for table in REST_MV[self.kind])
        return round(1 - left / 100, 2)


class RunTimeResult(Result):
    """How long the load may run."""

    hours: Decimal
    """Hours until the share is used, to 0.01."""


def run_time(given: RunTimeInputs) -> RunTimeResult:
    """How long may this load run with the engine off, until so much of the battery is used.

    Formula: hours = 20 × (Ah ÷ (20 × A))^k × share, k by Peukert; with k = 1 that is
    Ah × share ÷ A. The share at a cut-off voltage is 1 − the charge at that rest voltage, by the
    published table that leaves least.
    Assumed: a full, sound battery at about 25 °C; cold and age take from it. A load over a
    twentieth of the capacity empties it sooner than k = 1 says. Under load the voltage reads
    lower than at rest, so a cut-off device may act earlier.
    Good: at least wanted_hours, or any time at all where they were not typed.
    Units: A, Ah, V, h; share and k are plain numbers.
    Range: load 0.01 to 500 A, battery 5 to 400 Ah, share 0.05 to 1, cut-off 11.6 to 13 V,
    k 1 to 1.6, wanted 0.01 to 10000 h.
    Errors: none once the inputs are accepted; share and cut-off together or neither is refused.
    Source: capacity over current; Peukert's law for a 20-hour capacity (smartgauge.co.uk); the
    tables of battery-rest.
    """
    slow = given.battery_ah / (20 * given.load_a)
    hours = round(20 * slow**given.peukert * given.share, 2)
    wanted = given.wanted_hours
    good = hours > 0 if wanted is None else hours >= wanted
    lasts = f"{plain(given.load_a)} A may run for about {plain(hours)} h"
    hurry = slow < 1 and given.peukert == 1
    return RunTimeResult(
        hours=hours,
        verdict="good" if good else "bad",
        because=lasts
        + ("" if wanted is None else f", and {plain(wanted)} h are wanted")
        + (", less in truth because the load is heavy for this battery." if hurry else "."),
        shown=f"20 h × ({plain(given.battery_ah)} Ah ÷ (20 h × {plain(given.load_a)} A))"
        f"^{plain(given.peukert)} × {plain(given.share)} = {plain(hours)} h",
    )
