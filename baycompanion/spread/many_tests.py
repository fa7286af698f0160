"""Many tests at once: chances corrected for how many were made.

A p-value is the chance that honest work shows at least as much as was seen. Of a hundred tests on
honest work, five lie below 0.05. What is corrected here may be compared with 0.05 as it stands.
"""

from collections.abc import Iterable, Sequence
from itertools import accumulate


def _ascending(p_values: Sequence[float]) -> list[int]:
    """Return the positions of the p-values, the smallest first."""
    for p in p_values:
        if not 0 <= p <= 1:
            raise ValueError(f"{p} is no p-value: it must lie from 0 to 1")
    return sorted(range(len(p_values)), key=p_values.__getitem__)


def _placed(order: Sequence[int], corrected: Iterable[float]) -> tuple[float, ...]:
    """Return the corrected values where the p-values that they come from stood."""
    return tuple(value for _, value in sorted(zip(order, corrected, strict=True)))


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Return the p-values corrected so that even one false alarm among all is rare.

    If all below 0.05 are reported, the chance that any of those is a false alarm is at most 0.05,
    however the tests depend on one another. For findings that name a person. Source: Holm, A
    Simple Sequentially Rejective Multiple Test Procedure, Scandinavian Journal of Statistics 6
    (1979), 65-70.

    Returns:
        As many as came in, in the same order, each 0 to 1 and none below its p-value.

    Raises:
        ValueError: A p-value is not 0 to 1.
    """
    order = _ascending(p_values)
    tests = len(order)
    stepped = (min(1.0, (tests - rank) * p_values[at]) for rank, at in enumerate(order))
    return _placed(order, accumulate(stepped, max))


def benjamini_hochberg(p_values: Sequence[float]) -> tuple[float, ...]:
    """Return the p-values corrected so that few of what is reported are false alarms.

    If all below 0.05 are reported, on average at most 5 % of those are false alarms, where the
    tests are independent or lean the same way. For lists to look through. Source: Benjamini and
    Hochberg, Controlling the False Discovery Rate, Journal of the Royal Statistical Society B 57
    (1995), 289-300.

    Returns:
        As many as came in, in the same order, each 0 to 1 and none below its p-value.

    Raises:
        ValueError: A p-value is not 0 to 1.
    """
    order = _ascending(p_values)
    tests = len(order)
    falling = (
        min(1.0, tests / (rank + 1) * p_values[order[rank]]) for rank in reversed(range(tests))
    )
    return _placed(order[::-1], accumulate(falling, min))
