"""Radio: whether a station lies on the grid of its region, and which frequency is nearest."""

from dataclasses import dataclass
from decimal import ROUND_HALF_DOWN, Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo

from baycompanion.trade.figures import Region
from baycompanion.trade.model import Inputs, Result, Takes, number_in, plain
from baycompanion.trade.units import Unit


@dataclass(frozen=True, slots=True)
class Grid:
    """The frequencies on which stations of one band may stand in one region, all in kHz."""

    first: int
    last: int
    step: int
    channel_of_first: int | None = None

    def nearest(self, khz: Decimal) -> int:
        """Return the frequency of the grid nearest to `khz`; the lower where two are as near."""
        steps = int(((khz - self.first) / self.step).to_integral_value(ROUND_HALF_DOWN))
        return self.first + self.step * max(0, min(steps, (self.last - self.first) // self.step))

    def channel(self, khz: int) -> int | None:
        """Return the channel of a frequency of the grid, where its channels are numbered."""
        if self.channel_of_first is None:
            return None
        return self.channel_of_first + (khz - self.first) // self.step


GRIDS: dict[tuple[str, str], Grid] = {
    ("fm", "us"): Grid(88_100, 107_900, 200, 201),
    ("fm", "itu1"): Grid(87_500, 108_000, 50),
    ("fm", "itu2"): Grid(87_900, 107_900, 200),
    ("fm", "itu3"): Grid(87_500, 108_000, 100),
    ("fm", "japan"): Grid(76_000, 94_900, 100),
    ("am", "us"): Grid(540, 1700, 10),
    ("am", "itu1"): Grid(531, 1701, 9),
    ("am", "itu2"): Grid(530, 1700, 10),
    ("am", "itu3"): Grid(531, 1701, 9),
    ("am", "japan"): Grid(531, 1602, 9),
}
"""US: 47 CFR 73.201 (FM) and 73.14 (AM). FM elsewhere: a page on bands round the world
(fmtrick.blogspot.com/2007/05), where 50 kHz is in use in places of Region 1, and odd tenths in most
of Region 2; above 90 MHz in Japan from memory. AM: 9 kHz in Regions 1 and 3 and 10 kHz in Region 2,
from encyclopedia copies of the ITU's allocation, the expanded band up to 1701 kHz counted in."""

UNIT = {"fm": Unit("MHz", "a frequency"), "am": Unit("kHz", "a frequency")}
_LEAST, _MOST = {"fm": 60, "am": 100}, {"fm": 120, "am": 2000}


def read_frequency(value: Any, info: ValidationInfo) -> Any:
    """Return the frequency in a text, in MHz on FM and in kHz on AM; another unit may follow.

    Raises:
        ValueError: It is no number, or no frequency of a band at all.
    """
    band = info.data.get("band")
    if not isinstance(value, str):
        return value
    number = number_in(value, UNIT[band or "fm"], "frequency")
    # Without a band, which is then what is missing, any frequency will do.
    if band is not None and not _LEAST[band] <= number <= _MOST[band]:
        raise ValueError("far from the band")
    return number


class StationInputs(Inputs):
    """A station as it was noted, and where the radio is used."""

    band: Literal["fm", "am"]
    """FM, in MHz, or AM (medium wave), in kHz."""
    frequency: Annotated[
        Decimal,
        BeforeValidator(read_frequency),
        Takes(
            f"a number from {_LEAST['fm']} to {_MOST['fm']} in MHz on FM, from {_LEAST['am']} to"
            f" {_MOST['am']} in kHz on AM"
        ),
    ] = Field(examples=["94.7"])
    """Frequency as the radio shows it: MHz on FM, kHz on AM, unless a unit is typed with it."""
    region: Region = "us"
    """US; itu1 is Europe and Africa, itu2 the rest of the Americas, itu3 Asia and Oceania."""


class StationResult(Result):
    """Where the station stands."""

    on_grid: bool
    """Whether stations of that region stand on this frequency."""
    nearest: Decimal
    """The nearest frequency of the grid, in MHz on FM and in kHz on AM."""
    channel: int | None
    """Number of its channel, where they are numbered (FM in the US)."""


def station(given: StationInputs) -> StationResult:
    """Is there a station on this frequency: the region's grid, and what is nearest to it.

    Formula: nearest = first + step × whole steps; FM channel in the US = 201 + (MHz − 88.1) ÷ 0.2.
    Good: the frequency is one of the grid. Many in a row that are not mean that the tuner is set
    to another region.
    Units: MHz on FM, kHz on AM; worked in whole kHz.
    Range: 60 to 120 MHz on FM, 100 to 2000 kHz on AM.
    Errors: none once the inputs are accepted.
    Source: 47 CFR 73.201 and 73.14 for the US; elsewhere the ITU's grids as printed in
    encyclopedia copies and on a page on bands round the world.
    """
    grid, unit = GRIDS[given.band, given.region], UNIT[given.band].symbol
    scale = 1000 if given.band == "fm" else 1
    near = grid.nearest(given.frequency * scale)
    on_grid = given.frequency * scale == near
    said, nearest = f"{plain(given.frequency)} {unit}", f"{plain(Decimal(near) / scale)} {unit}"
    first, step = (plain(Decimal(number) / scale) for number in (grid.first, grid.step))
    steps = (near - grid.first) // grid.step
    return StationResult(
        on_grid=on_grid,
        nearest=Decimal(near) / scale,
        channel=grid.channel(near),
        verdict="good" if on_grid else "bad",
        because=f"{said} is a station's frequency in region {given.region}."
        if on_grid
        else f"No station stands on {said} in region {given.region}, and the nearest is {nearest}:"
        " read it again, or look which region the tuner is set to.",
        shown=f"{first} + {steps} × {step} = {nearest}",
    )
