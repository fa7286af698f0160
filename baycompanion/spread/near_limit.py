"""Readings that sit just inside a limit more often than their neighbours on both sides explain."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from baycompanion.spread.binomial import at_least
from baycompanion.spread.silence import Silence, too_few

FEWEST = 10
"""The fewest readings near the limit (in the three bands together) to say anything about."""

Limit = Literal["at most", "at least"]


@dataclass(frozen=True)
class Crowding:
    """How many readings lie in three bands of one width at a limit, and the chance of that.

    `inside` is the band that ends with the limit itself, `further_in` the next one inwards, and
    `outside` the one that begins past the limit. `chance` is the p-value: how often honest
    readings crowd so much; who makes many such tests corrects it (`many_tests.holm`).
    """

    inside: int
    further_in: int
    outside: int
    chance: float


def crowding(
    readings: Sequence[Decimal], limit: Decimal, kind: Limit, width: Decimal
) -> Crowding | Silence:
    """Return how readings crowd just inside a limit, tested against both neighbouring bands.

    Against each neighbour, the test is the exact binomial one of two bands of the same width with
    a chance of 1 in 2 each (the caliper test of Gerber and Malhotra, 2008, which they put on
    published results at a threshold; described at replicationindex.com/category/caliper-test). The
    chance returned is the larger of the two. Honest readings that grow rarer across the limit, or
    more frequent, or are spread evenly, therefore give a false alarm at most as often as the
    chance one reports by, for any number of readings (an intersection-union test, so that the two
    need no correction). `binomial.alarm` tells how often so few readings really do. What could be
    taken for crowding is work that naturally heaps in this very band.

    Args:
        readings: All of them, those outside the limit too, in the unit of the limit.
        limit: The value that still passes.
        kind: Whether a reading passes `at most` or `at least` at the limit.
        width: Of each band, above 0: a whole number of last digits of the instrument (0.3 where
            it shows 0.1), so that the bands hold as many possible readings each.

    Raises:
        ValueError: The width is not above 0.
    """
    if not (width.is_finite() and width > 0):
        raise ValueError(f"The width is {width}, and must be above 0")
    depths: Counter[Decimal] = Counter()
    for reading, count in Counter(readings).items():
        depths[limit - reading if kind == "at most" else reading - limit] += count
    inside = sum(count for depth, count in depths.items() if 0 <= depth < width)
    further_in = sum(count for depth, count in depths.items() if width <= depth < 2 * width)
    outside = sum(count for depth, count in depths.items() if -width <= depth < 0)
    if silence := too_few(inside + further_in + outside, FEWEST):
        return silence
    chance = max(at_least(inside, inside + beside, 0.5) for beside in (further_in, outside))
    return Crowding(inside, further_in, outside, chance)
