"""Speakers: what load they make together, and what power they get."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from baycompanion.trade.model import Inputs, Number, Result, Takes, Verdict, plain, read_list


class SpeakerLoadInputs(Inputs):
    """The speakers on one pair of output leads, how they are joined, and what feeds them."""

    impedances_ohm: Annotated[
        tuple[Annotated[Number, Field(ge=Decimal("0.5"), le=100)], ...],
        BeforeValidator(read_list),
        Takes("1 to 16 numbers from 0.5 to 100 in Ω with commas between them"),
    ] = Field(min_length=1, max_length=16, examples=["4,4"])
    """The rated impedance of each speaker or voice coil."""
    wiring: Literal["series", "parallel", "series-parallel"]
    """How they are joined; series-parallel: strings in series, in the order typed, in parallel."""
    lowest_ohm: Number = Field(default=Decimal(4), ge=Decimal("0.5"), le=100, examples=["4"])
    """The lowest load that the output may see, by its maker; 4 is common for receivers."""
    in_each_string: Number = Field(default=Decimal(2), ge=2, le=8, examples=["2"])
    """How many are in series in each string; counts only for series-parallel."""
    volts: Number | None = Field(default=None, ge=Decimal("0.1"), le=200, examples=["14.4"])
    """Voltage (RMS) at the output, where the power is wanted; leave it out where watts is typed."""
    watts: Number | None = Field(default=None, ge=Decimal("0.1"), le=10_000, examples=["50"])
    """Power (RMS) that the output gives into lowest_ohm, where the power is wanted."""

    @model_validator(mode="after")
    def _strings_come_out_even(self) -> "SpeakerLoadInputs":
        if self.volts is not None and self.watts is not None:
            raise ValueError("volts and watts came together: type one of the two.")
        if self.in_each_string != self.in_each_string.to_integral_value():
            raise ValueError(
                f"in_each_string {self.in_each_string:f} is no whole number: type one from 2 to 8."
            )
        speakers, string = len(self.impedances_ohm), int(self.in_each_string)
        if self.wiring == "series-parallel" and (speakers % string or speakers == string):
            raise ValueError(
                f"{speakers} in impedances_ohm do not make two or more strings of {string}: type"
                " them all, or another in_each_string."
            )
        return self

    @property
    def strings(self) -> list[tuple[Decimal, ...]]:
        """The speakers as strings in parallel, each of speakers in series."""
        long = {"series": len(self.impedances_ohm), "parallel": 1}
        size = long.get(self.wiring, int(self.in_each_string))
        return [
            self.impedances_ohm[at : at + size] for at in range(0, len(self.impedances_ohm), size)
        ]


class SpeakerLoadResult(Result):
    """What the output sees."""

    load_ohm: Decimal
    """Impedance of all speakers together, to 0.001."""
    power_w: Decimal | None
    """Power into all of them together, to 0.1, where volts or watts was typed."""
    most_each_w: Decimal | None
    """The most that one of them gets of it, to 0.1."""


def speaker_load(given: SpeakerLoadInputs) -> SpeakerLoadResult:
    """May the output see these speakers: the load they make together, and the power they get.

    Formula: in series impedances add; in parallel their reciprocals do; power = V² ÷ load, or
    watts × lowest_ohm ÷ load where the power into lowest_ohm is known. One speaker of a string
    gets the string's current squared × its impedance. Good: the load is at least lowest_ohm.
    Assumed: impedance taken as a resistance; a rated 4 Ω dips lower at some frequencies. Power by
    watts takes an output of fixed voltage. The leads of bridged outputs never meet and never touch
    ground.
    Units: Ω, V and W as RMS.
    Range: 1 to 16 speakers of 0.5 to 100 Ω each, lowest_ohm 0.5 to 100, in_each_string 2 to 8,
    volts 0.1 to 200, watts 0.1 to 10000.
    Errors: none once the inputs are accepted; strings that do not come out even are refused.
    Source: Ohm's law and the rules for resistors in series and in parallel, as in any textbook.
    """
    sums = [sum(string, Decimal()) for string in given.strings]
    full = 1 / sum((1 / each for each in sums), Decimal())
    load = round(full, 3)
    squared = given.volts**2 if given.volts else (given.watts or Decimal()) * given.lowest_ohm
    each = max(
        squared / whole**2 * one
        for string, whole in zip(given.strings, sums, strict=True)
        for one in string
    )
    power = round(squared / full, 1) if squared else None
    verdict, because = _load_verdict(load, given.lowest_ohm, power)
    return SpeakerLoadResult(
        load_ohm=load,
        power_w=power,
        most_each_w=round(each, 1) if squared else None,
        verdict=verdict,
        because=because,
        shown=_load_shown(given, load) + (_power_shown(given, squared / full) if squared else ""),
    )


def _load_verdict(load: Decimal, lowest: Decimal, power: Decimal | None) -> tuple[Verdict, str]:
    """Judge the load; where the power was wanted, the sentence tells it, for it is what is read."""
    if load < lowest:
        return "bad", (
            f"{plain(load)} Ω is below {plain(lowest)} Ω, the lowest that the output may see: join"
            " them otherwise, or it overheats."
        )
    gets = f", and gives them {plain(power)} W together" if power is not None else ""
    return "good", f"{plain(load)} Ω is at least {plain(lowest)} Ω, so the output may see it{gets}."


def _load_shown(given: SpeakerLoadInputs, load: Decimal) -> str:
    strings = [" + ".join(map(plain, string)) for string in given.strings]
    if len(strings) == 1:
        return f"{strings[0]} = {plain(load)} Ω"
    parts = (f"1 ÷ ({each})" if "+" in each else f"1 ÷ {each}" for each in strings)
    return f"1 ÷ ({' + '.join(parts)}) = {plain(load)} Ω"


def _power_shown(given: SpeakerLoadInputs, power: Decimal) -> str:
    came = f"{plain(round(power, 1))} W"
    if given.volts:
        return f"; {plain(given.volts)}² ÷ load = {came}"
    return f"; {plain(given.watts or Decimal())} × {plain(given.lowest_ohm)} ÷ load = {came}"
