"""What is lost on the way to the load and back, and which wire is thick enough for it."""

from collections.abc import Callable
from decimal import Decimal
from typing import Literal

from pydantic import Field, model_validator

from baycompanion.trade.copper import (
    OFFERED,
    PER_KELVIN,
    RESISTIVITY,
    OneWire,
    Wire,
    may_carry_a,
    resistance_ohm,
    told_gauge,
)
from baycompanion.trade.model import Inputs, Number, Result, Verdict, plain, signed


class Circuit(Inputs):
    """A load at the end of a wire, there and back."""

    current_a: Number = Field(ge=Decimal("0.001"), le=500, examples=["10"])
    """The most current that the load draws for longer than a moment."""
    length_m: Number = Field(ge=Decimal("0.01"), le=100, examples=["3.2"])
    """Length of the wire one way; the way back is counted as just as long and as thick."""
    supply_v: Number = Field(default=Decimal("12.0"), ge=5, le=60, examples=["12.0"])
    """Voltage at the source."""
    limit_pct: Number = Field(default=Decimal(3), ge=Decimal("0.1"), le=20, examples=["3"])
    """The most that may be lost; 3 where it matters and 10 elsewhere, by marine practice."""
    temperature_c: Number = Field(default=Decimal(20), ge=-40, le=150, examples=["20"])
    """Temperature of the copper."""

    def ohm_in(self, area: Decimal) -> Decimal:
        """Return the resistance there and back in copper of `area` mm², Ω to 0.000001."""
        return round(resistance_ohm(area, 2 * self.length_m, self.temperature_c), 6)

    def volts_lost(self, area: Decimal) -> Decimal:
        """Return the drop in copper of `area` mm², V to 0.0001."""
        full = resistance_ohm(area, 2 * self.length_m, self.temperature_c)
        return round(self.current_a * full, 4)

    def percent_lost(self, area: Decimal) -> Decimal:
        """Return the drop in copper of `area` mm², in % of the supply to 0.001."""
        full = resistance_ohm(area, 2 * self.length_m, self.temperature_c)
        return round(self.current_a * full * 100 / self.supply_v, 3)

    def shown_with(self, area: Decimal) -> str:
        """Return the formula of the drop with the numbers in it."""
        return (
            f"{RESISTIVITY} × 2 × {plain(self.length_m)} m ÷ {round(area, 4)} mm² × (1 +"
            f" {PER_KELVIN} × ({signed(self.temperature_c)} − 20)) = {plain(self.ohm_in(area))} Ω;"
            f" × {plain(self.current_a)} A = {plain(self.volts_lost(area))} V ="
            f" {plain(self.percent_lost(area))} % of {plain(self.supply_v)} V"
        )


class WireDropInputs(Circuit):
    """A load, and the wire that feeds it."""

    one_of = (("awg",), ("area_mm2",))

    awg: OneWire | None = Field(default=None, examples=["12"])
    """The wire by its gauge; leave it out where area_mm2 is typed."""
    area_mm2: Number | None = Field(
        default=None, ge=Decimal("0.005"), le=Decimal(120), examples=["3.31"]
    )
    """The wire by its copper area; leave it out where awg is typed."""


class WireDropResult(Result):
    """What is lost on the way."""

    resistance_ohm: Decimal
    """Resistance of the wire there and back, to 0.000001."""
    drop_v: Decimal
    """Voltage lost there and back, to 0.0001."""
    drop_pct: Decimal
    """The same as a share of the supply, to 0.001."""


def wire_drop(given: WireDropInputs) -> WireDropResult:
    """How much voltage is lost in the wire, there and back, and may the wire carry the current.

    Formula: R = 0.017241 × 2 × length ÷ area × (1 + 0.00393 × (T − 20)); drop = current × R.
    Good: the drop in % is at most the limit, and the current at most what the wire may carry.
    Assumed: full copper by the gauge's formula. Vehicle wire of SAE sizes holds a tenth less, and
    joins and fuses lose more. Where the body is the way back, measure it with return-path.
    Units: A, m one way, V, %, °C, gauges in AWG or mm².
    Range: current 0.001 to 500 A, length 0.01 to 100 m, supply 5 to 60 V, limit 0.1 to 20 %,
    -40 to 150 °C, gauges from 4/0 to 40 or an area from 0.05 to 120 mm2, area_mm2 0.005 to 120.
    Errors: none once the inputs are accepted; both wires or neither is refused.
    Source: resistivity and its growth from the International Annealed Copper Standard and a
    handbook; gauges by ASTM B258's formula; currents from 33 CFR 183.425, Table 5, 80 °C.
    """
    wire = given.awg or Wire(None, given.area_mm2)
    area = wire.mm2
    verdict, because = _drop_verdict(given, wire)
    return WireDropResult(
        resistance_ohm=given.ohm_in(area),
        drop_v=given.volts_lost(area),
        drop_pct=given.percent_lost(area),
        verdict=verdict,
        because=because,
        shown=given.shown_with(area),
    )


def _drop_verdict(given: Circuit, wire: Wire) -> tuple[Verdict, str]:
    lost = f"{wire.said} loses {round(given.volts_lost(wire.mm2), 2)} V"
    share = f"{plain(given.percent_lost(wire.mm2))} %"
    current, limit = f"{plain(given.current_a)} A", f"{plain(given.limit_pct)} %"
    most = may_carry_a(wire.mm2)
    if most is None:
        return "bad", f"{wire.said} is finer than any table of currents here goes: take 22 AWG."
    if given.current_a > most:
        return "bad", f"{wire.said} may carry {most} A, not {current}: it would get too hot."
    if given.percent_lost(wire.mm2) > given.limit_pct:
        return "bad", f"{lost}, {share} of the supply, and {limit} is the limit."
    return "good", f"{lost}, {share} of the supply, within {limit}, and may carry {most} A."


class WireSizeInputs(Circuit):
    """A load, and how far away it is."""


class WireSizeResult(Result):
    """The wire to take."""

    awg: int | str | None
    """The finest gauge offered that will do, or nothing where none will."""
    drop_v: Decimal
    """Voltage lost in it there and back, to 0.0001; of 4/0 AWG where none will do."""
    drop_pct: Decimal
    """The same as a share of the supply, to 0.001."""
    limited_by: Literal["drop", "ampacity", "both"]
    """What asks for this wire and no finer: the drop, the current it may carry, or both."""


def wire_size(given: WireSizeInputs) -> WireSizeResult:
    """Which wire is thick enough: the finest that neither loses too much nor gets too hot.

    Formula: as in wire-drop, for 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 1/0, 2/0, 3/0 and
    4/0 AWG in turn; the first whose drop is within the limit and which may carry the current.
    Assumed: full copper by the gauge's formula. Vehicle wire of SAE sizes holds a tenth less:
    where the drop is near the limit, take the next thicker. Insulation for 80 °C or more, one
    wire alone, 30 °C round it; bundles and the engine bay carry less. The fuse may not be larger
    than the wire carries: see fuse-size.
    Units: A, m one way, V, %, °C, gauges in AWG.
    Range: current 0.001 to 500 A, length 0.01 to 100 m, supply 5 to 60 V, limit 0.1 to 20 %,
    -40 to 150 °C.
    Errors: none once the inputs are accepted.
    Source: currents from 33 CFR 183.425, Table 5, insulation for 80 °C, and for 22 and 20 AWG
    from MIL-W-5088B, both read in copies; the rest as in wire-drop.
    """
    by_drop = _first(lambda area: given.percent_lost(area) <= given.limit_pct)
    by_current = _first(lambda area: given.current_a <= (may_carry_a(area) or 0))
    place = max(by_drop, by_current)
    wire = OFFERED[min(place, len(OFFERED) - 1)]
    fits = place < len(OFFERED)
    return WireSizeResult(
        awg=told_gauge(wire) if fits else None,
        drop_v=given.volts_lost(wire.mm2),
        drop_pct=given.percent_lost(wire.mm2),
        limited_by=_limit(by_drop, by_current),
        verdict="good" if fits else "bad",
        because=_drop_verdict(given, wire)[1],
        shown=given.shown_with(wire.mm2),
    )


def _first(will_do: Callable[[Decimal], bool]) -> int:
    """Return the place among those offered of the finest wire whose area will do."""
    return next((at for at, wire in enumerate(OFFERED) if will_do(wire.mm2)), len(OFFERED))


def _limit(by_drop: int, by_current: int) -> Literal["drop", "ampacity", "both"]:
    if by_drop == by_current:
        return "both"
    return "drop" if by_drop > by_current else "ampacity"


class ReturnPathInputs(Inputs):
    """A drop that was measured over the way back, and the current that flowed meanwhile."""

    drop_mv: Number = Field(ge=0, le=12_000, examples=["35"])
    """Drop from the load's ground to the battery's negative post, read while the load runs."""
    current_a: Number = Field(ge=Decimal("0.1"), le=500, examples=["10"])
    """Current that flowed when the drop was read."""
    full_load_a: Number | None = Field(default=None, ge=Decimal("0.1"), le=500, examples=["40"])
    """Most current that the load ever draws; left out, that at the reading is taken for it."""
    limit_mv: Number = Field(default=Decimal(100), ge=1, le=1000, examples=["100"])
    """The most that may be lost at full load; 100 by a training page and common practice."""

    @model_validator(mode="after")
    def _full_is_the_most(self) -> "ReturnPathInputs":
        if self.full_load_a is not None and self.full_load_a < self.current_a:
            raise ValueError(
                f"full_load_a {self.full_load_a:f} is less than current_a {self.current_a:f}:"
                " type the most current that ever flows."
            )
        return self


class ReturnPathResult(Result):
    """How good the way back is."""

    resistance_mohm: Decimal
    """Resistance of the way back, to 0.01 mΩ."""
    full_load_drop_mv: Decimal
    """Drop to be expected at full load, to 0.1 mV."""


def return_path(given: ReturnPathInputs) -> ReturnPathResult:
    """Is the way back to the battery good: the drop over it, and what it comes to at full load.

    Formula: resistance = drop ÷ current; drop at full load = resistance × full-load current; good
    if that is at most the limit. A drop is read under load; without current it says nothing.
    Units: mV, A, mΩ.
    Range: drop 0 to 12000 mV, currents 0.1 to 500 A, limit 1 to 1000 mV.
    Errors: none once the inputs are accepted; a full load below the measured current is refused.
    Source: Ohm's law; 0.1 V or less over a ground circuit from a technicians' training library
    (apextechnation.com/library/T-4/0), a general rule: the vehicle maker's figure goes before it.
    """
    full = given.full_load_a or given.current_a
    resistance = given.drop_mv / given.current_a
    drop = round(resistance * full, 1)
    good = drop <= given.limit_mv
    limit = plain(given.limit_mv)
    because = f"At {plain(full)} A the way back loses {plain(drop)} mV, " + (
        f"within {limit} mV."
        if good
        else f"over {limit} mV: clean and tighten the ground, or run a wire to the battery."
    )
    return ReturnPathResult(
        resistance_mohm=round(resistance, 2),
        full_load_drop_mv=drop,
        verdict="good" if good else "bad",
        because=because,
        shown=f"{plain(given.drop_mv)} mV ÷ {plain(given.current_a)} A ="
        f" {plain(round(resistance, 2))} mΩ; × {plain(full)} A = {plain(drop)} mV",
    )
