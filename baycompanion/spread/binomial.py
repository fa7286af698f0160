"""Exact chances of a count: so many of so many tries, if each has the same chance."""

from dataclasses import dataclass
from math import exp, fsum, lgamma, log, log1p


def _check(tries: int, chance: float) -> None:
    if tries < 0 or not 0 <= chance <= 1:
        raise ValueError(f"{tries} tries with a chance of {chance} each cannot be")


def exactly(count: int, tries: int, chance: float) -> float:
    """Return the chance of `count` in `tries` that each have `chance`: 0 to 1.

    The binomial probability, worked through logarithms; at a million tries it is right to some
    8 digits, at a thousand to some 11.

    Raises:
        ValueError: `tries` is below 0, or `chance` is not 0 to 1.
    """
    _check(tries, chance)
    if not 0 <= count <= tries:
        return 0.0
    if chance in (0, 1):
        return float(count == chance * tries)
    ways = lgamma(tries + 1) - lgamma(count + 1) - lgamma(tries - count + 1)
    return exp(ways + count * log(chance) + (tries - count) * log1p(-chance))


def at_least(count: int, tries: int, chance: float) -> float:
    """Return the chance of `count` or more in `tries` that each have `chance`: 0 to 1.

    The upper tail of the binomial distribution, added up term by term: no approximation, and a
    cost in proportion to the tries.

    Raises:
        ValueError: `tries` is below 0, or `chance` is not 0 to 1.
    """
    _check(tries, chance)
    if count <= 0:
        return 1.0
    return min(1.0, fsum(exactly(k, tries, chance) for k in range(count, tries + 1)))


@dataclass(frozen=True)
class Alarm:
    """From which count on there is an alarm, and how often that happens by chance alone.

    `count` may be one more than the tries: then so few tries give no alarm at all, and the rate
    is 0.
    """

    count: int
    tries: int
    rate: float


def alarm(tries: int, chance: float, at_most: float) -> Alarm:
    """Return the lowest count in `tries` that chance alone reaches no more often than `at_most`.

    The rate is the false-alarm rate that this count really has. Counts jump, so it lies below
    `at_most`, with few tries far below.

    Args:
        tries: How many there were, 0 or more.
        chance: Of each one, 0 to 1.
        at_most: The highest false-alarm rate allowed, above 0 and below 1.

    Raises:
        ValueError: An argument is out of its range.
    """
    _check(tries, chance)
    if not 0 < at_most < 1:
        raise ValueError(f"The false-alarm rate is {at_most}, and must lie between 0 and 1")
    rate, count = 0.0, tries + 1
    while count > 0 and (more := rate + exactly(count - 1, tries, chance)) <= at_most:
        rate, count = more, count - 1
    return Alarm(count, tries, rate)
