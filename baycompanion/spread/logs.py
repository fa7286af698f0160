"""Times by their natural logarithm, on which twice as long and half as long lie evenly."""

from collections.abc import Sequence
from math import isfinite, log


def logs(times: Sequence[float]) -> list[float]:
    """Return the natural logarithm of each time.

    Times at work are skewed: none is below zero, some run to several times the usual. Their
    logarithms are near enough to even for charts and robust scores. `exp` leads back.

    Args:
        times: Lengths of time above 0, all in one unit. Another unit shifts every logarithm by
            the same amount, which changes no difference between them.

    Raises:
        ValueError: A time is not a number above 0.
    """
    for position, time in enumerate(times):
        if not (isfinite(time) and time > 0):
            raise ValueError(f"Time {position} is {time}, and must be a number above 0")
    return [log(time) for time in times]
