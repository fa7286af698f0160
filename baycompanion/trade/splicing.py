"""Splices: how much copper comes together, and which cap holds it."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from baycompanion.trade.copper import LEAST_MM2, MOST_MM2, OneWire
from baycompanion.trade.model import Inputs, Number, Result, Takes, plain, read_list

MOST_CAPS = 20
"""Caps that the sum chooses from."""
MOST_LEADS = 12
"""Leads that it adds up."""

_CAP = re.compile(r"(?P<name>[^\W_][\w -]{0,19}?) +(?P<least>[0-9]{3,6}) *- *(?P<most>[0-9]{3,6})")


@dataclass(frozen=True, slots=True)
class Cap:
    """A cap of the shop, and the copper that it holds by its maker, in circular mils."""

    name: str
    least: Decimal
    most: Decimal

    def __str__(self) -> str:
        """Return the cap as it is typed."""
        return f"{self.name} {self.least}-{self.most}"

    def holds(self, area: Decimal) -> bool:
        """Return whether `area` circular mils lie in its range, both ends included."""
        return self.least <= area <= self.most


def read_cap(value: Any) -> Any:
    """Return the cap in a text like `grey 1500-6500`.

    Raises:
        ValueError: It is no name with two areas from 100 to 500000 cmil, the smaller first.
    """
    if not isinstance(value, str):
        return value
    match = _CAP.fullmatch(value.strip())
    if match is None:
        raise ValueError("no cap")
    cap = Cap(match["name"], Decimal(match["least"]), Decimal(match["most"]))
    if not 100 <= cap.least <= cap.most <= 500_000:
        raise ValueError("no range of a cap")
    return cap


class SpliceInputs(Inputs):
    """The leads that go into one cap, and what the cap takes, or the caps that the shop has."""

    one_of = (("cap_min_cmil", "cap_max_cmil"), ("caps",))

    awg: Annotated[
        tuple[OneWire, ...],
        BeforeValidator(read_list),
        Takes(
            "2 to 12 gauges from 4/0 to 40 with commas between them, or areas from"
            f" {LEAST_MM2} to {MOST_MM2} mm2"
        ),
    ] = Field(min_length=2, max_length=MOST_LEADS, examples=["18,18,20"])
    """The gauge of each lead in the cap."""
    cap_min_cmil: Number | None = Field(default=None, ge=100, le=500_000, examples=["1500"])
    """The least copper that the cap holds, by its maker."""
    cap_max_cmil: Number | None = Field(default=None, ge=100, le=500_000, examples=["6500"])
    """The most copper that the cap holds, by its maker."""
    strip_mm: Number = Field(default=Decimal(19), ge=3, le=50, examples=["19"])
    """Bare length at each end, by the cap's maker; 19 (3/4 in) is common practice, no source."""
    caps: Annotated[
        tuple[Annotated[Cap, BeforeValidator(read_cap)], ...] | None,
        BeforeValidator(read_list),
        Takes(
            "1 to 20 caps with commas between them, each a name and its least and most area from"
            " 100 to 500000 cmil"
        ),
    ] = Field(default=None, min_length=1, max_length=MOST_CAPS, examples=["grey 1500-6500"])
    """The caps that the shop has, each by its maker, from which one is chosen."""

    @model_validator(mode="after")
    def _range_in_order(self) -> "SpliceInputs":
        least, most = self.cap_min_cmil, self.cap_max_cmil
        if least is not None and most is not None and least > most:
            raise ValueError(
                f"cap_min_cmil {least:f} is more than cap_max_cmil {most:f}: type the smaller of"
                " the two first."
            )
        return self

    @property
    def to_choose_from(self) -> tuple[Cap, ...]:
        """The caps that may be taken: the shop's, or the one whose range was typed."""
        only = Cap("", self.cap_min_cmil or Decimal(), self.cap_max_cmil or Decimal())
        return self.caps or (only,)


class SpliceResult(Result):
    """How much copper the cap would hold, and which cap."""

    area_cmil: Decimal
    """Copper of all leads together, to 0.1 circular mil."""
    cap: str | None
    """The cap to take, where caps were typed and one of them fits."""


def splice(given: SpliceInputs) -> SpliceResult:
    """Will these leads fit in that cap: their copper area against its range, or which cap fits.

    Formula: the sum of (5 × 92^((36 − n) ÷ 39))² over the leads; good from the least to the most
    that the cap takes, both included. Of several caps that fit, the one that holds the least at
    the most is taken: in it the leads sit tightest.
    Units: gauges in AWG or areas in mm², the caps in circular mils, the bare length in mm.
    Range: 2 to 12 leads from 4/0 to 40 or from 0.05 to 120 mm²; 1 to 20 caps, each from 100 to
    500000 cmil; strip 3 to 50 mm.
    Errors: none once the inputs are accepted; a cap whose least is above its most is refused.
    Source: NASA-STD-8739.4, section 19 (several conductors in one barrel: add circular mils).
    """
    areas = [wire.cmil for wire in given.awg]
    total = round(sum(areas, Decimal()), 1)
    fitting = [cap for cap in given.to_choose_from if cap.holds(total)]
    taken = min(fitting, key=lambda cap: cap.most, default=None)
    return SpliceResult(
        area_cmil=total,
        cap=taken.name if taken and given.caps else None,
        verdict="good" if taken else "bad",
        because=_fit(total, taken, given.strip_mm) if taken else _no_fit(total, given),
        shown="(5 × 92^((36 − n) ÷ 39))² for each gauge n: "
        f"{' + '.join(map(str, areas))} = {total} cmil",
    )


def _range(cap: Cap) -> str:
    name = f"{cap.name} " if cap.name else ""
    return f"{name}cap that takes {plain(cap.least)} to {plain(cap.most)} cmil"


def _no_fit(total: Decimal, given: SpliceInputs) -> str:
    if given.caps:
        return f"No cap of the list takes {total} cmil: split the splice, or get another cap."
    (cap,) = given.to_choose_from
    return f"{total} cmil is too {'little' if total < cap.least else 'much'} for a {_range(cap)}."


def _fit(total: Decimal, cap: Cap, strip_mm: Decimal) -> str:
    fit = f"{total} cmil fits a {_range(cap)}"
    strip = f"strip each lead {plain(strip_mm)} mm"
    if total * 9 / 10 < cap.least:
        return f"{fit}, but vehicle wire can hold a tenth less, so {strip} and tug each one hard."
    return f"{fit}; {strip}."
