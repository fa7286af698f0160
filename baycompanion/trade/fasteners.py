"""Screws: which length replaces the old one once a spacer is in."""

from decimal import Decimal
from typing import Literal

from pydantic import Field, model_validator

from baycompanion.trade.model import Inputs, Number, Result, plain

FIRST_CHOICE_MM = tuple(
    map(Decimal, (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80))
)
"""Nominal lengths of machine screws, mm: those that ISO 1207 lists without brackets."""

SECOND_CHOICE_MM = tuple(map(Decimal, (14, 55, 65, 75)))
"""Nominal lengths that ISO 1207 lists in brackets, mm: made, but harder to get."""

ENGAGEMENT_DIAMETERS = {"steel": Decimal(1), "aluminium": Decimal(2), "plastic": Decimal("2.5")}
"""Thread engagement wanted, in thread diameters. Rules of thumb: steel 1 (another page says 1.5)
and aluminium 2 as printed in a design magazine; plastic boss 2 to 2.5, the upper end taken."""


class ScrewLengthInputs(Inputs):
    """The screw that was there, what is put under it, and what it goes into."""

    original_mm: Number = Field(ge=2, le=60, examples=["8"])
    """Length of the old screw, under the head."""
    spacer_mm: Number = Field(ge=0, le=20, examples=["5"])
    """Thickness of the spacer that is added."""
    diameter_mm: Number = Field(ge=1, le=12, examples=["5"])
    """Thread diameter: 5 for M5."""
    into: Literal["steel", "aluminium", "plastic"]
    """What the thread is cut in."""
    hole_depth_mm: Number | None = Field(default=None, ge=1, le=100, examples=["12"])
    """How far a screw may go in from the mouth of the hole; left out, it is not judged."""
    bracket_mm: Number = Field(default=Decimal(0), ge=0, le=20, examples=["1.5"])
    """Thickness of the bracket or panel under the head, without the spacer."""

    @model_validator(mode="after")
    def _reaches_the_hole(self) -> "ScrewLengthInputs":
        if self.bracket_mm >= self.original_mm:
            raise ValueError(
                f"original_mm {self.original_mm:f} does not reach through bracket_mm"
                f" {self.bracket_mm:f}: measure both again and type them."
            )
        return self

    @property
    def wanted_mm(self) -> Decimal:
        """Thread engagement that the material asks for, mm."""
        return ENGAGEMENT_DIAMETERS[self.into] * self.diameter_mm

    def reach_mm(self, length: Decimal) -> Decimal:
        """Return how far a screw of this length goes in, mm."""
        return length - self.spacer_mm - self.bracket_mm


class ScrewLengthResult(Result):
    """The screw to take, and how far it goes in."""

    needed_mm: Decimal
    """Old length and spacer together, with the digits typed."""
    stock_mm: Decimal
    """The nominal length to take; where none fits, the first choice at or above needed_mm."""
    engagement_mm: Decimal
    """Thread that holds, with the digits typed; the most it can be where no bracket was given."""


def screw_length(given: ScrewLengthInputs) -> ScrewLengthResult:
    """How long must the screw be once the spacer is in: the length to take, and if it holds.

    Formula: needed = original + spacer; reach = length − spacer − bracket; engagement = reach, or
    the depth of the hole if that is less. Taken is the next first-choice length at or above
    needed if it fits, else the nearest to that one which does, of second choice too.
    Too short: engagement under 1 × diameter in steel, 2 × in aluminium, 2.5 × in plastic.
    Bottoms out: reach up to the depth of the hole or beyond. Good: a length made does neither.
    Assumed: a machine screw threaded over its whole reach. How far the old screw went in is not
    known unless the bracket is given: without it the bracket counts as 0 mm, so engagement is the
    most it can be, and all that is sure is that the new screw holds no less than the old one.
    Not for clips, sheet-metal screws or anything that the vehicle's maker specifies.
    Units: mm.
    Range: original 2 to 60, spacer 0 to 20, diameter 1 to 12, hole 1 to 100, bracket 0 to 20 mm.
    Errors: none once the inputs are accepted; an old screw shorter than its bracket is refused.
    Source: lengths from ISO 1207, commercial lengths (in the pattern of ISO 888), read in a copy;
    engagement from rules of thumb, no standard.
    """
    needed = given.original_mm + given.spacer_mm
    following = next(length for length in FIRST_CHOICE_MM if length >= needed)
    fitting = [length for length in FIRST_CHOICE_MM + SECOND_CHOICE_MM if not _fault(given, length)]
    stock = min(fitting, key=lambda length: abs(length - following), default=following)
    reach = given.reach_mm(stock)
    factor = plain(ENGAGEMENT_DIAMETERS[given.into])
    return ScrewLengthResult(
        needed_mm=needed,
        stock_mm=stock,
        engagement_mm=min(reach, given.hole_depth_mm or reach),
        verdict="good" if fitting else "bad",
        because=_screw_verdict(given, following, stock) if fitting else _no_screw(given, stock),
        shown=f"{plain(given.original_mm)} + {plain(given.spacer_mm)} = {plain(needed)} mm, next"
        f" {plain(following)} mm; {plain(stock)} mm reaches {plain(stock)} −"
        f" {plain(given.spacer_mm)} − {plain(given.bracket_mm)} = {plain(reach)} mm, wanted"
        f" {factor} × {plain(given.diameter_mm)} = {plain(given.wanted_mm)} mm",
    )


def _fault(given: ScrewLengthInputs, length: Decimal) -> str:
    """Return what is wrong with a screw of this length, or nothing."""
    reach, deep = given.reach_mm(length), given.hole_depth_mm
    if deep is not None and reach >= deep:
        return "bottoms out"
    return "is too short" if reach < given.wanted_mm else ""


def _screw_verdict(given: ScrewLengthInputs, following: Decimal, stock: Decimal) -> str:
    at_most = "" if given.bracket_mm else "at most "
    fits = (
        f"{plain(stock)} mm screw engages {at_most}{plain(given.reach_mm(stock))} mm, and"
        f" {given.into} wants {plain(given.wanted_mm)} mm"
    )
    if stock == following:
        return f"The {fits}."
    fault = _fault(given, following)
    unsure = ", if the hole is deep enough" if given.hole_depth_mm is None else ""
    return f"The next length, {plain(following)} mm, {fault}; the {fits}{unsure}."


def _no_screw(given: ScrewLengthInputs, stock: Decimal) -> str:
    reach, deep = plain(given.reach_mm(stock)), plain(given.hole_depth_mm or Decimal())
    why = (
        f"it reaches {reach} mm into a hole {deep} mm deep"
        if _fault(given, stock) == "bottoms out"
        else f"it engages {reach} mm"
    )
    return (
        f"The {plain(stock)} mm screw {_fault(given, stock)}: {why} and {given.into} wants"
        f" {plain(given.wanted_mm)} mm, and no length made fits, so ask for the vehicle maker's"
        " screw."
    )
