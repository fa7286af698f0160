"""Exact chances of a count among things dealt out without putting any back: Fisher's test."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, fsum


def at_least_dealt(count: int, drawn: int, marked: int, total: int) -> float:
    """Return the chance that at least `count` of the `marked` are among `drawn` of `total`.

    The upper tail of the hypergeometric distribution, in whole numbers until the last division:
    the one-sided exact test of Fisher, The Design of Experiments (1935), of whether what is
    marked fell to those drawn more often than to the others.

    Args:
        count: How many were marked among those drawn.
        drawn: 0 to `total`.
        marked: 0 to `total`.
        total: How many there are.

    Raises:
        ValueError: `drawn` or `marked` is out of its range.
    """
    if not (0 <= drawn <= total and 0 <= marked <= total):
        raise ValueError(f"{drawn} drawn and {marked} marked of {total} cannot be")
    most = min(drawn, marked)
    least = max(count, 0, drawn + marked - total)
    ways = sum(comb(marked, k) * comb(total - marked, drawn - k) for k in range(least, most + 1))
    return ways / comb(total, drawn)


@dataclass(frozen=True, slots=True)
class Dealt:
    """One dealing: how many were drawn, how many are marked, and how many there are."""

    drawn: int
    marked: int
    total: int


def at_least_in_all(count: int, dealt: Sequence[Dealt]) -> float:
    """Return the chance that at least `count` marked ones are drawn in all dealings together.

    Each dealing is hypergeometric and independent of the others, so that what differs from one to
    the next (a step whose readings nearly all agree) is no evidence: the one-sided exact test of
    several two-by-two tables with a common odds ratio of 1 (Gart, Point and interval estimation of
    the common odds ratio, Biometrika 57 (1970), 471-475; the source from memory).

    Raises:
        ValueError: In one of them `drawn` or `marked` is out of its range.
    """
    chances = [1.0]
    """The chance of each sum so far."""
    for each in dealt:
        if not (0 <= each.drawn <= each.total and 0 <= each.marked <= each.total):
            raise ValueError(f"{each.drawn} drawn and {each.marked} marked of {each.total}")
        ways = comb(each.total, each.drawn)
        own = [
            comb(each.marked, k) * comb(each.total - each.marked, each.drawn - k) / ways
            for k in range(min(each.drawn, each.marked) + 1)
        ]
        summed = [0.0] * (len(chances) + len(own) - 1)
        for before, chance in enumerate(chances):
            for more, further in enumerate(own):
                summed[before + more] += chance * further
        chances = summed
    return min(1.0, fsum(chances[max(0, count) :]))
