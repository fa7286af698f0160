"""Amplifiers: what one draws at full power, and which fuse and wire that wants."""

from decimal import Decimal
from typing import Literal

from pydantic import Field

from baycompanion.trade.copper import OFFERED, Wire, may_carry_a, resistance_ohm, told_gauge
from baycompanion.trade.fuses import SHARE_CONTINUOUS, least_fuse_a
from baycompanion.trade.model import Inputs, Number, Result, Verdict, plain

EFFICIENCY = {"ab": Decimal("0.6"), "d": Decimal("0.75")}
"""Share of what an amplifier draws that reaches the speakers near full power, by class; figures of
a page on car sound (bcae1.com/wirequickreferenceprintable01.htm). Others say 0.5 to 0.65 for AB
and 0.8 to 0.92 for D."""


class AmplifierCurrentInputs(Inputs):
    """What an amplifier gives, how well, and how far it sits from the battery."""

    watts_rms: Number = Field(ge=1, le=10_000, examples=["500"])
    """Power of all channels together, RMS, into the speakers that it gets."""
    amplifier_class: Literal["ab", "d"] = "ab"
    """Class as printed on it; AB counts as 0.6 efficient and D as 0.75."""
    efficiency: Number | None = Field(
        default=None, ge=Decimal("0.2"), le=Decimal("0.98"), examples=["0.8"]
    )
    """Share of what it draws that reaches the speakers; left out, that of its class."""
    supply_v: Number = Field(default=Decimal("12.0"), ge=5, le=60, examples=["12.0"])
    """Voltage at the amplifier; the lower it is, the more the amplifier draws."""
    length_m: Number | None = Field(default=None, ge=Decimal("0.01"), le=100, examples=["5"])
    """Length of its wire one way; left out, no wire is chosen."""
    limit_pct: Number = Field(default=Decimal(3), ge=Decimal("0.1"), le=20, examples=["3"])
    """The most that may be lost in the wire, there and back."""

    @property
    def share(self) -> Decimal:
        """The efficiency that counts."""
        return self.efficiency or EFFICIENCY[self.amplifier_class]


class AmplifierCurrentResult(Result):
    """What to provide for it."""

    current_a: Decimal
    """What it draws with a steady tone at full power, to 0.1."""
    fuse_a: Decimal | None
    """The smallest rating that carries that for hours, or nothing where none is made."""
    awg: int | str | None
    """The finest gauge for that length which the fuse protects, or nothing where none will do."""


def amplifier_current(given: AmplifierCurrentInputs) -> AmplifierCurrentResult:
    """How much does an amplifier draw at full power, and which fuse and wire does that want.

    Formula: current = watts ÷ efficiency ÷ supply; fuse = the smallest rating of which that is at
    most 80 %; wire = the finest that may carry the fuse's rating and loses at most the limit.
    Assumed: a steady tone; music draws a third of it or less, but a fuse must not blow on a loud
    passage. A way back through the body is as good as the wire. Fuse within a hand's length of
    the battery. The amplifier maker's fuse and wire go before these.
    Units: W (RMS), V, A, m one way, %, gauges in AWG; the efficiency is a plain number.
    Range: 1 to 10000 W, efficiency 0.2 to 0.98, supply 5 to 60 V, length 0.01 to 100 m,
    limit 0.1 to 20 %.
    Errors: none once the inputs are accepted.
    Source: power over voltage; efficiency by class from a page on car sound (bcae1.com); 80 % as
    in fuse-size; wire as in wire-size, at 20 °C.
    """
    full = given.watts_rms / given.share / given.supply_v
    current = round(full, 1)
    fuse = least_fuse_a(full, SHARE_CONTINUOUS)
    wire = _wire_for(given, full, fuse) if fuse and given.length_m else None
    verdict, because = _amplifier_verdict(given, current, fuse, wire)
    return AmplifierCurrentResult(
        current_a=current,
        fuse_a=fuse,
        awg=told_gauge(wire) if wire else None,
        verdict=verdict,
        because=because,
        shown=f"{plain(given.watts_rms)} W ÷ {plain(given.share)} ÷ {plain(given.supply_v)} V ="
        f" {plain(current)} A; ÷ {SHARE_CONTINUOUS} = {plain(round(full / SHARE_CONTINUOUS, 1))} A,"
        f" next rating {f'{plain(fuse)} A' if fuse else 'none'}",
    )


def _wire_for(given: AmplifierCurrentInputs, current: Decimal, fuse: Decimal) -> Wire | None:
    """Return the finest wire that the fuse protects and that loses no more than the limit."""
    most_v = given.supply_v * given.limit_pct / 100
    there_and_back = 2 * (given.length_m or Decimal())
    for wire in OFFERED:
        lost = current * resistance_ohm(wire.mm2, there_and_back, Decimal(20))
        if (may_carry_a(wire.mm2) or 0) >= fuse and lost <= most_v:
            return wire
    return None


def _amplifier_verdict(
    given: AmplifierCurrentInputs, current: Decimal, fuse: Decimal | None, wire: Wire | None
) -> tuple[Verdict, str]:
    draws = f"It draws up to {plain(current)} A"
    if fuse is None:
        return "bad", f"{draws}, and no fuse here carries that: feed it through several."
    wants = f"{draws} and wants a fuse of {plain(fuse)} A at the battery"
    if given.length_m is None:
        return "good", f"{wants}."
    length = f"{plain(given.length_m)} m"
    if wire is None:
        return "bad", f"{wants}, and no wire offered will do for {length}: run several."
    return "good", f"{wants} and {wire.said} over {length}."
