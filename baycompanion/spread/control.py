"""The individuals chart: limits from how much each value differs from the one before it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean
from typing import Literal

from baycompanion.spread.silence import Silence, too_few

FEWEST = 20
"""The fewest values that limits are drawn from. On normal values a further one lies beyond them
in 1.1 of 100 cases with 20 behind them, in 2.4 with 10 and in 0.27 with very many (tests/spread).
"""

D2 = 1.128
"""The mean range of two normal values, in standard deviations. 3 ÷ d2 is often rounded to 2.66."""

D4 = 3.267
"""The upper limit of a range of two values, in mean ranges."""

RUN = 8
"""So many values in a row on one side of the centre are a signal (Western Electric)."""

Rule = Literal["beyond a limit", "eight on one side", "range beyond its limit"]


@dataclass(frozen=True)
class Limits:
    """The centre, the limits of single values, the mean moving range and its limit.

    All are in the unit of the values, `values` is how many they come from. `lower` may lie below
    0; times are therefore charted by their logarithms (`logs`), and the limits led back by `exp`.
    """

    centre: float
    lower: float
    upper: float
    mean_range: float
    range_limit: float
    values: int


@dataclass(frozen=True)
class Signal:
    """Which value (0 the first) completes a signal, by which rule, and where the signal begins."""

    index: int
    rule: Rule
    first: int


def moving_ranges(values: Sequence[float]) -> tuple[float, ...]:
    """Return how far each value but the first lies from the one before: 0 or more, same unit."""
    return tuple(abs(value - before) for before, value in pairwise(values))


def limits(values: Sequence[float], fewest: int = FEWEST) -> Limits | Silence:
    """Return the limits of an individuals chart: mean ± 3 × mean moving range ÷ 1.128.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, Individuals Control Charts;
    the limit of the moving ranges, D4 = 3.267 for ranges of two, from the tables of constants.

    Args:
        values: In the order in which they came about, in any unit.
        fewest: The fewest values to draw limits from, at least 2.

    Returns:
        The limits; or silence where there are fewer values, or where all are the same.
    """
    if silence := too_few(len(values), max(fewest, 2)):
        return silence
    centre, mean_range = fmean(values), fmean(moving_ranges(values))
    if mean_range == 0:
        return Silence("all alike", len(values), fewest)
    reach = 3 * mean_range / D2
    return Limits(centre, centre - reach, centre + reach, mean_range, D4 * mean_range, len(values))


def signals(values: Sequence[float], drawn: Limits) -> tuple[Signal, ...]:
    """Return every signal in the values, the first to be completed first.

    - `beyond a limit`: the value is above the upper or below the lower limit.
    - `eight on one side`: the value is the eighth in a row above the centre, or below it; told
      once for each row. A value on the centre ends a row.
    - `range beyond its limit`: the step from the value before is longer than the limit of ranges.

    The first two are tests 1 and 4 of the Western Electric Company, Statistical Quality Control
    Handbook (1956), as in the NIST/SEMATECH e-Handbook, 6.3.2. With known limits and nothing
    wrong these two alone come once in 153 values on average; limits from few values, and the
    ranges, make signals more frequent.

    Args:
        values: In order, in the unit of the limits; those that the limits come from, or later ones.
        drawn: The limits to hold them against.
    """
    found = [
        *_beyond(values, drawn),
        *_rows(values, lambda value: value > drawn.centre),
        *_rows(values, lambda value: value < drawn.centre),
        *_long_steps(values, drawn),
    ]
    return tuple(sorted(found, key=lambda signal: (signal.index, signal.rule)))


def _beyond(values: Sequence[float], drawn: Limits) -> list[Signal]:
    return [
        Signal(at, "beyond a limit", at)
        for at, value in enumerate(values)
        if not drawn.lower <= value <= drawn.upper
    ]


def _rows(values: Sequence[float], on_the_side: Callable[[float], bool]) -> list[Signal]:
    found, length = [], 0
    for at, value in enumerate(values):
        length = length + 1 if on_the_side(value) else 0
        if length == RUN:
            found.append(Signal(at, "eight on one side", at - RUN + 1))
    return found


def _long_steps(values: Sequence[float], drawn: Limits) -> list[Signal]:
    return [
        Signal(at, "range beyond its limit", at - 1)
        for at, step in enumerate(moving_ranges(values), start=1)
        if step > drawn.range_limit
    ]
