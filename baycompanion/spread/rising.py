"""Whether something happens more and more: an exact test on the order in which it happened."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

from baycompanion.spread.silence import Silence, too_few

FEWEST = 20
"""The fewest cases that say anything of a rise. Own choice: ten older ones and ten newer."""

MOST = 100
"""The newest cases that are looked at. Own choice: what was long ago says nothing of a rise now,
and the exact chances of so many are counted in some milliseconds."""


@dataclass(frozen=True)
class Rising:
    """How often it happened in the older half and in the newer, and the chance of such an order."""

    chance: float
    """How often chance alone puts it as late in the order, or later: 0 to 1."""
    older: int
    older_of: int
    newer: int
    newer_of: int


def rising(happened: Sequence[bool]) -> Rising | Silence:
    """Return whether what `happened` in some of the cases, the oldest first, comes late in them.

    The one-sided exact rank test of Wilcoxon, Individual Comparisons by Ranking Methods,
    Biometrics Bulletin 1 (1945), 80-83, in the form of Mann and Whitney, On a Test of Whether one
    of Two Random Variables is Stochastically Larger than the Other, Annals of Mathematical
    Statistics 18 (1947), 50-60, on the places in the order, of which no two are the same. With
    the places as scores it is also the exact permutation form of the trend test of Cochran and
    Armitage. It takes it that without a rise every order is as likely; what comes in runs, as
    from one week without spares, may look like a rise.

    Of more than `MOST` cases the newest count; fewer than `FEWEST`, or none or all of them, say
    nothing.
    """
    newest = happened[-MOST:]
    silent = too_few(len(newest), FEWEST)
    if silent is not None:
        return silent
    count, half = sum(newest), len(newest) // 2
    if count in (0, len(newest)):
        return Silence("all alike", len(newest), FEWEST)
    older = sum(newest[:half])
    return Rising(_chance(newest), older, half, count - older, len(newest) - half)


def _chance(happened: Sequence[bool]) -> float:
    """Return in what share of all orders as many pairs, or more, have the other case first."""
    first = pairs = 0
    for each in happened:
        pairs += first if each else 0
        first += not each
    count = len(happened) - first
    ways = orders(count, first)
    return sum(ways[pairs:]) / comb(len(happened), count)


def orders(ones: int, others: int) -> list[int]:
    """Return in how many orders of `ones` and `others` so many pairs have the other one first.

    The number of pairs is the place in the list, 0 to `ones` times `others`. These are the
    coefficients of the Gaussian binomial: the product of (1 - q^(others + i)) / (1 - q^i) for
    each i from 1 to `ones`, multiplied out and divided term by term, in whole numbers.
    """
    size = ones * others + 1
    ways = [1] + [0] * (size - 1)
    for i in range(1, ones + 1):
        for at in range(size - 1, others + i - 1, -1):
            ways[at] -= ways[at - others - i]
        for at in range(i, size):
            ways[at] += ways[at - i]
    return ways
