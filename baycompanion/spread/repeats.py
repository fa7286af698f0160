"""Readings that are the same to the last digit more often than honest readings would be.

A repeat is judged against what is natural for that reading: against the readings of others at the
same step, or, where there are none, against the share that one value may honestly have. Neither
test takes anything for granted about how readings spread.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from baycompanion.spread.binomial import exactly
from baycompanion.spread.dealing import at_least_dealt
from baycompanion.spread.silence import Silence, too_few

FEWEST = 10
"""The fewest readings of one person, or of one step, in which a repeat is looked for."""


@dataclass(frozen=True)
class Repeat:
    """The reading that repeats, how often it stands among `of`, and the chance of that.

    `chance` is the p-value: how often honest readings, as many as these, show a repeat as marked
    as this one, whichever the value. Who makes many such tests corrects it (`many_tests.holm`).
    """

    reading: str
    count: int
    of: int
    chance: float


def unlike_others(own: Sequence[str], others: Sequence[str]) -> Repeat | Silence:
    """Return the reading that repeats among `own` most markedly against those of `others`.

    If both come from the same work, every way of dealing out all readings to `own` and `others`
    is as likely as any other. The chance that a value falls to `own` so often is then
    hypergeometric, the one-sided exact test of Fisher, The Design of Experiments (1935). Any
    value that stands there twice or more could have been the one, so the chance is multiplied by
    their number (Bonferroni). The false-alarm rate is therefore at most the chance that one
    reports by, for any number of readings and any distribution. A value natural to the step (a
    battery at 12.6) repeats among the others too, and is no alarm. What else can explain a small
    chance is an instrument of one's own, or different work: compare within the same step.

    Args:
        own: Readings as they were typed; 12.60 and 12.6 are two.
        others: Readings of the same step by other people, or in other jobs.

    Returns:
        The most marked repeat, its chance 1 where there is none; or silence where `own` or
        `others` are fewer than `FEWEST`.
    """
    if silence := too_few(min(len(own), len(others)), FEWEST):
        return silence
    mine, all_of_them = Counter(own), Counter(own) + Counter(others)
    candidates = sum(count >= 2 for count in all_of_them.values())
    total = len(own) + len(others)

    def chance(reading: str) -> float:
        marked = all_of_them[reading]
        if marked < 2:
            return 1.0
        return min(1.0, candidates * at_least_dealt(mine[reading], len(own), marked, total))

    reading = min(mine, key=lambda text: (chance(text), -mine[text], text))
    return Repeat(reading, mine[reading], len(own), chance(reading))


def beyond_chance(readings: Sequence[str], natural: float) -> Repeat | Silence:
    """Return the reading that stands there most often, judged by the share that is natural.

    For a shop in which nobody else takes this reading. The test is binomial, and exact up to
    adding chances that may overlap: see `repeat_chance`.

    Args:
        readings: As they were typed; 12.60 and 12.6 are two.
        natural: The largest share that any one value may have in honest work, above 0 and below 1;
            from the spread of the trade and the last digit of the instrument, rather too high.

    Returns:
        The most frequent reading; or silence where there are fewer than `FEWEST`.

    Raises:
        ValueError: `natural` is out of its range.
    """
    if silence := too_few(len(readings), FEWEST):
        return silence
    reading, count = min(Counter(readings).items(), key=lambda item: (-item[1], item[0]))
    return Repeat(reading, count, len(readings), repeat_chance(count, len(readings), natural))


def repeat_chance(count: int, readings: int, natural: float) -> float:
    """Return the highest chance that some value stands `count` times or more among readings.

    Whichever value that is, one of the readings is its first, and at least `count` − 1 of the m
    after that agree with it. So the chance is at most the sum of P(Bin(m, natural) ≥ count − 1)
    over every m that leaves room, m = count − 1 … readings − 1. Own derivation; exact where all
    readings agree and every value is as frequent as `natural`, else on the safe side.

    Args:
        count: At least 1.
        readings: How many there are, independent of one another.
        natural: The largest share that any one value has, above 0 and below 1.

    Returns:
        The false-alarm rate of reporting this count, 0 to 1.

    Raises:
        ValueError: `natural` or `count` is out of its range.
    """
    if not 0 < natural < 1 or count < 1:
        raise ValueError(f"{count} times with a natural share of {natural} cannot be judged")
    agree = count - 1
    tail, total = exactly(agree, agree, natural), 0.0
    for after in range(agree, readings):
        total += tail
        tail += natural * exactly(agree - 1, after, natural)
    return min(1.0, total)
