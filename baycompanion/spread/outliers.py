"""Values far outside the spread of the others, by the median and what lies around it."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from baycompanion.spread.logs import logs
from baycompanion.spread.silence import Silence, too_few

FEWEST = 20
"""The fewest values whose spread is used. On normal values a further one lies past the cut-off
in 1.1 of 100 cases with 20 behind it, in 3.4 with 10 and in 0.05 with very many (tests/spread)."""

CUT_OFF = 3.5
"""The score beyond which a value is called an outlier (Iglewicz and Hoaglin)."""

NORMAL = 0.6745
"""The third quartile of the standard normal distribution: it makes a score of 1 what one standard
deviation is for normal values."""


@dataclass(frozen=True)
class Spread:
    """The median of the values, their median absolute deviation from it, and how many they are.

    The deviation is as it is, not scaled to a standard deviation. Both are in the unit of the
    values.
    """

    median: float
    deviation: float
    values: int


@dataclass(frozen=True)
class Outlier:
    """Which value (0 the first) lies outside, and its score: below 0 is less than the median."""

    index: int
    score: float


def spread(values: Sequence[float], fewest: int = FEWEST) -> Spread | Silence:
    """Return the median and the median absolute deviation of the values.

    Returns:
        The spread; or silence where there are fewer than `fewest` values, or where the deviation
        is 0 because more than half of the values are the same. Any other value would then be an
        outlier, however near it lies; other formulas put the mean deviation in its place, but
        that hides the very thing to look at, which is that so many are the same.
    """
    if silence := too_few(len(values), max(fewest, 1)):
        return silence
    middle = median(values)
    deviation = median(abs(value - middle) for value in values)
    if deviation == 0:
        return Silence("all alike", len(values), fewest)
    return Spread(middle, deviation, len(values))


def score(value: float, around: Spread) -> float:
    """Return the modified z-score of a value: 0.6745 × (value − median) ÷ deviation.

    Source: Iglewicz and Hoaglin, How to Detect and Handle Outliers, ASQC Basic References in
    Quality Control 16 (1993), as in the NIST/SEMATECH e-Handbook, 1.3.5.17 (page not read).

    Args:
        value: In the unit of the spread.
        around: The spread of other values, or of all.

    Returns:
        How far out it lies, without a unit; below 0 is less than the median.
    """
    return NORMAL * (value - around.median) / around.deviation


def outlying_times(
    times: Sequence[float], cut_off: float = CUT_OFF, fewest: int = FEWEST
) -> tuple[Outlier, ...] | Silence:
    """Return the times that lie far outside the spread of all, by the score of their logarithms.

    Among 20 times with nothing wrong, one or more are named in 1 of 10 such lists, so that an
    outlier is a question and no finding by itself.

    Args:
        times: Lengths of time above 0, all in one unit (which one makes no difference).
        cut_off: The score, either way, from which on a time counts as outside; above 0.
        fewest: The fewest times to say anything about.

    Raises:
        ValueError: A time is not a number above 0.
    """
    scaled = logs(times)
    around = spread(scaled, fewest)
    if isinstance(around, Silence):
        return around
    scores = (score(value, around) for value in scaled)
    return tuple(Outlier(at, z) for at, z in enumerate(scores) if abs(z) > cut_off)
