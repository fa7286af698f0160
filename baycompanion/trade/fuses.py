"""Fuses: the one that carries the load and protects the wire, or why none does."""

from decimal import Decimal
from typing import Literal

from pydantic import Field

from baycompanion.trade.copper import OFFERED, OneWire, may_carry_a
from baycompanion.trade.model import Inputs, Number, Result, plain

BLADES = (
    *(("1", "black"), ("2", "grey"), ("3", "violet"), ("4", "pink"), ("5", "tan")),
    *(("7.5", "brown"), ("10", "red"), ("15", "blue"), ("20", "yellow"), ("25", "clear")),
    *(("30", "green"), ("35", "blue-green"), ("40", "orange")),
)
"""Ratings in A of blade fuses of types C and F, and their colours as in ISO 8820-3, whose table was
read in general pages; orange for 40 is from memory. The largest blades use colours otherwise."""

LINKS_A = (50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400)
"""Ratings in A of links and large blades that are stocked: common practice, no source."""

RATINGS_A = (*(Decimal(rating) for rating, _ in BLADES), *map(Decimal, LINKS_A))

SHARE_CONTINUOUS = Decimal("0.8")
"""Share of its rating that a fuse carries for hours, by a fuse seller's notes and common
practice in vehicles; the same as a rating of at least 1.25 × the load."""


def least_fuse_a(load_a: Decimal, share: Decimal) -> Decimal | None:
    """Return the smallest rating of which `load_a` is at most `share`, or None if none is made."""
    return next((rating for rating in RATINGS_A if load_a <= rating * share), None)


def gauge_for_fuse(fuse_a: Decimal) -> str | None:
    """Return the finest gauge offered that a fuse of this rating protects, or None."""
    fits = (wire for wire in OFFERED if (may_carry_a(wire.mm2) or 0) >= fuse_a)
    return next((wire.said for wire in fits), None)


class FuseSizeInputs(Inputs):
    """What the circuit draws, and the thinnest wire behind the fuse."""

    continuous_a: Number = Field(ge=Decimal("0.01"), le=320, examples=["8"])
    """The most current that the load draws for longer than a moment."""
    awg: OneWire = Field(examples=["14"])
    """The thinnest wire between the fuse and the load, by its gauge."""
    duty: Literal["continuous", "intermittent"] = "continuous"
    """Continuous where it runs for minutes or more, intermittent where only for moments."""


class FuseSizeResult(Result):
    """The fuse to take."""

    fuse_a: Decimal | None
    """The smallest rating that carries the load, or nothing where it would not protect the wire."""
    colour: str | None
    """Colour of a blade of that rating; the number moulded on it goes before the colour."""


def fuse_size(given: FuseSizeInputs) -> FuseSizeResult:
    """Which fuse carries the load and protects the wire, or why none does.

    Formula: the smallest rating made of which the load is at most 80 % (continuous duty) or 100 %
    (intermittent); good if the wire may carry that rating. The wire comes first: where the two
    conflict no fuse is named, and a thicker wire is.
    Assumed: about 25 °C at the fuse, which sits within a hand's length of the feed; a wire alone in
    30 °C, where bundles and the engine bay carry less. The equipment maker's rating goes before
    this one. A fuse never goes up a size because it blew.
    Units: A, gauges in AWG or mm².
    Range: load 0.01 to 320 A, gauges from 4/0 to 40 or an area from 0.05 to 120 mm2.
    Errors: none once the inputs are accepted.
    Source: 80 % from a fuse seller's notes and common practice; currents of the wire from
    33 CFR 183.425, Table 5, 80 °C; colours of ISO 8820-3 as printed in general pages.
    """
    share = SHARE_CONTINUOUS if given.duty == "continuous" else Decimal(1)
    fuse, wire = least_fuse_a(given.continuous_a, share), may_carry_a(given.awg.mm2)
    good = fuse is not None and wire is not None and fuse <= wire
    load, least = f"{plain(given.continuous_a)} A", plain(given.continuous_a / share)
    return FuseSizeResult(
        fuse_a=fuse if good else None,
        colour=dict(BLADES).get(plain(fuse)) if good and fuse else None,
        verdict="good" if good else "bad",
        because=_good_fuse(given, fuse, wire) if good and fuse else _no_fuse(given, fuse, wire),
        shown=f"{load} ÷ {share} = {least} A at least, next rating"
        f" {plain(fuse) if fuse else 'none'}{' A' if fuse else ''};"
        f" {given.awg.said} may carry {f'{wire} A' if wire else 'nothing by the table'}",
    )


def _good_fuse(given: FuseSizeInputs, fuse: Decimal, wire: Decimal | None) -> str:
    return (
        f"The {plain(fuse)} A fuse carries {plain(given.continuous_a)} A and protects"
        f" {given.awg.said}, which may carry {wire} A."
    )


def _no_fuse(given: FuseSizeInputs, fuse: Decimal | None, wire: Decimal | None) -> str:
    load = f"{plain(given.continuous_a)} A"
    thicker = gauge_for_fuse(fuse) if fuse else None
    if fuse is None or thicker is None:
        return f"No fuse here carries {load} and protects a wire: split the load over several."
    most = f"may carry {wire} A" if wire else "is finer than the table of currents goes"
    return (
        f"No fuse does: {load} wants {plain(fuse)} A, and {given.awg.said} {most}, so take"
        f" {thicker} or thicker."
    )
