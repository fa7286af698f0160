"""Quantiles of past values, and the past value that the next one stays within."""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor


def _checked(share: float) -> Fraction:
    """Return `share` as the decimal it was written as, so that 0.9 × 10 is 9."""
    if not 0 < share < 1:
        raise ValueError(f"The share is {share}, and must lie between 0 and 1")
    return Fraction(str(share))


def quantile(values: Sequence[float], share: float) -> float:
    """Return the value below which `share` of the values lie, with a straight line between two.

    This is definition 7 of Hyndman and Fan, Sample Quantiles in Statistical Packages, The
    American Statistician 50 (1996), 361-365: rank 1 + (n − 1) × share. It is what SQL calls
    `percentile_cont`, so that a table read by a query engine gives the same figure.

    Args:
        values: At least one, in any order and unit; the result is in the same unit.
        share: Above 0 and below 1; 0.5 gives the median.

    Raises:
        ValueError: There are no values, or the share is out of range.
    """
    rank = _checked(share) * (len(values) - 1)
    if not values:
        raise ValueError("There is no value to take a quantile of")
    ordered = sorted(values)
    below = floor(rank)
    if rank == below:
        return ordered[below]
    low, high = ordered[below], ordered[below + 1]
    return min(low + float(rank - below) * (high - low), high)


def rank_within(count: int, share: float) -> int:
    """Return which of `count` ordered past values (1 the smallest) the next one stays within.

    If past and next come from the same work in any order, the next value is at most the k-th
    smallest of n with a chance of k ÷ (n + 1), whatever their distribution; with values that tie,
    it is more. So k is (n + 1) × share, rounded up. Source: the distribution-free prediction
    limit, Hahn and Meeker, Statistical Intervals (1991), from memory; the same result with its
    proof at el-hult.github.io/2022/06/10/nonparametric-pred.html.

    Returns:
        The rank, or `count` + 1 where so few values cannot promise this share.

    Raises:
        ValueError: The share is not above 0 and below 1.
    """
    return ceil(_checked(share) * (count + 1))


def fewest_within(share: float) -> int:
    """Return how many past values it takes until one of them can bound the next at `share`.

    Nine for 9 in 10, one for the median: the smallest n with (n + 1) × share ≤ n.

    Raises:
        ValueError: The share is not above 0 and below 1.
    """
    exact = _checked(share)
    return ceil(exact / (1 - exact))
