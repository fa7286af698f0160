"""American wire gauge: what a gauge number holds in copper, and which splice that gives."""

import re
from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from baycompanion.trade.model import Inputs, Number, Result, Takes, plain, read_list

THICKEST = "4/0"
FINEST = "40"

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


Awg = Annotated[str, AfterValidator(written_gauge)]
"""A gauge from 4/0 to 40, in its usual spelling."""


class SpliceInputs(Inputs):
    """The leads that go into one cap, and what the cap takes."""

    awg: Annotated[
        tuple[Awg, ...],
        BeforeValidator(read_list),
        Takes("2 to 12 gauges from 4/0 to 40 with commas between them"),
    ] = Field(min_length=2, max_length=12, examples=["18,18,20"])
    """The gauge of each lead in the cap."""
    cap_min_cmil: Number = Field(ge=100, le=500_000, examples=["1500"])
    """The least copper that the cap holds, by its maker."""
    cap_max_cmil: Number = Field(ge=100, le=500_000, examples=["6500"])
    """The most copper that the cap holds, by its maker."""
    strip_mm: Number = Field(default=Decimal(19), ge=3, le=50, examples=["19"])
    """Bare length at each end, by the cap's maker; 19 (3/4 in) is common practice, no source."""

    @model_validator(mode="after")
    def _range_in_order(self) -> "SpliceInputs":
        if self.cap_min_cmil > self.cap_max_cmil:
            raise ValueError(
                f"cap_min_cmil {self.cap_min_cmil:f} is more than cap_max_cmil"
                f" {self.cap_max_cmil:f}: type the smaller of the two first."
            )
        return self


class SpliceResult(Result):
    """How much copper the cap would hold."""

    area_cmil: Decimal
    """Copper of all leads together, to 0.1 circular mil."""


def splice(given: SpliceInputs) -> SpliceResult:
    """Will these leads fit in that cap: their copper area against the range of the cap.

    Formula: the sum of (5 × 92^((36 − n) ÷ 39))² over the leads; good from the least to the
    most that the cap takes, both included.
    Units: gauges in AWG, areas in circular mils, the bare length in mm.
    Range: 2 to 12 leads from 4/0 to 40; the cap from 100 to 500000 cmil; strip 3 to 50 mm.
    Errors: none once the inputs are accepted; a cap whose least is above its most is refused.
    Source: NASA-STD-8739.4, section 19 (several conductors in one barrel: add circular mils).
    """
    areas = [area_cmil(awg) for awg in given.awg]
    total = round(sum(areas, Decimal()), 1)
    fits = given.cap_min_cmil <= total <= given.cap_max_cmil
    return SpliceResult(
        area_cmil=total,
        verdict="good" if fits else "bad",
        because=_splice_verdict(total, given),
        shown="(5 × 92^((36 − n) ÷ 39))² for each gauge n: "
        f"{' + '.join(map(str, areas))} = {total} cmil",
    )


def _splice_verdict(total: Decimal, given: SpliceInputs) -> str:
    least, most = plain(given.cap_min_cmil), plain(given.cap_max_cmil)
    if total < given.cap_min_cmil:
        return f"{total} cmil is too little for a cap that takes {least} to {most} cmil."
    if total > given.cap_max_cmil:
        return f"{total} cmil is too much for a cap that takes {least} to {most} cmil."
    fit = f"{total} cmil fits a cap that takes {least} to {most} cmil"
    strip = f"strip each lead {plain(given.strip_mm)} mm"
    if total * 9 / 10 < given.cap_min_cmil:
        return f"{fit}, but vehicle wire can hold a tenth less, so {strip} and tug each one hard."
    return f"{fit}; {strip}."
