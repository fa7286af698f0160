"""Findings that rest on a test: told only if they stand after correction for all tests made."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from baycompanion.audit.findings import Finding
from baycompanion.spread.many_tests import holm

FALSE_ALARM = 0.05
"""The chance that an audit of honest work alone tells anything at all by these tests. Common
practice in statistics, no source."""


@dataclass(frozen=True, slots=True)
class OneTest:
    """What would be asked, by which test, and how often honest work shows as much."""

    chance: float
    """The p-value of this one test."""
    test: str
    finding: Finding


def told(tested: Sequence[OneTest], unmarked: int) -> Iterator[Finding]:
    """Yield what stands after Holm's correction, each with its test and its false-alarm rate.

    Args:
        tested: Tests that could be told.
        unmarked: How many more were made, of which the chance is 1 and none could be told.
    """
    tests = len(tested) + unmarked
    corrected = holm([*(each.chance for each in tested), *([1.0] * unmarked)])
    for each, chance in zip(tested, corrected, strict=False):
        if chance <= FALSE_ALARM:
            basis = (
                f" {each.test}: by chance alone in at most {_rate(chance)} of such audits, "
                f"corrected for the {tests} test{'s' * (tests > 1)} made (Holm); told up to 1 in "
                f"{round(1 / FALSE_ALARM)}."
            )
            yield replace(each.finding, sentence=each.finding.sentence + basis)


def _rate(chance: float) -> str:
    """Return a chance as one in so many, rounded to the safe side."""
    return f"1 in {int(1 / chance):,}" if chance > 1e-9 else "1 in 1,000,000,000"
