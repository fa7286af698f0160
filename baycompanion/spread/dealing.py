"""Exact chances of a count among things dealt out without putting any back: Fisher's test."""

from math import comb


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
