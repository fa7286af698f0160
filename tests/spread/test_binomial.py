"""Exact chances of a count, against sums that can be done by hand and a reference library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from baycompanion.spread.binomial import alarm, at_least, exactly

TRIES = st.integers(min_value=0, max_value=3000)
CHANCES = st.sampled_from([0.0, 1.0]) | st.floats(min_value=1e-12, max_value=1)
"""Below some 1e-300 the reference library overflows."""


def test_a_coin_thrown_ten_times_shows_heads_eight_times_or_more_in_56_of_1024() -> None:
    """45 + 10 + 1 ways of 1024, counted out."""
    assert at_least(8, 10, 0.5) == pytest.approx(56 / 1024, rel=1e-12)


@given(TRIES, st.integers(min_value=-5, max_value=3005), CHANCES)
def test_chances_are_those_of_a_reference_library(tries: int, count: int, chance: float) -> None:
    """Source: `binom` of SciPy."""
    assert exactly(count, tries, chance) == pytest.approx(
        binom.pmf(count, tries, chance), rel=1e-8, abs=1e-300
    )
    assert at_least(count, tries, chance) == pytest.approx(
        binom.sf(count - 1, tries, chance), rel=1e-8, abs=1e-300
    )


@given(TRIES, st.integers(min_value=0, max_value=3000), CHANCES)
def test_more_is_never_more_likely(tries: int, count: int, chance: float) -> None:
    assert 0 <= at_least(count + 1, tries, chance) <= at_least(count, tries, chance) <= 1


@given(TRIES, CHANCES, st.floats(min_value=1e-6, max_value=0.5))
def test_an_alarm_is_the_lowest_count_that_keeps_its_false_alarm_rate(
    tries: int, chance: float, at_most: float
) -> None:
    found = alarm(tries, chance, at_most)
    assert found.rate <= at_most
    assert found.rate == pytest.approx(binom.sf(found.count - 1, tries, chance), rel=1e-8)
    assert at_least(found.count - 1, tries, chance) > at_most * (1 - 1e-9)


def test_four_tries_at_even_chances_are_too_few_for_an_alarm_at_5_in_100() -> None:
    """All four agree in 1 of 16; the count that would give an alarm cannot be reached."""
    found = alarm(4, 0.5, 0.05)
    assert (found.count, found.rate) == (5, 0)


@pytest.mark.parametrize(("tries", "chance"), [(-1, 0.5), (5, -0.1), (5, 1.1), (5, float("nan"))])
def test_tries_and_chances_that_cannot_be_are_refused(tries: int, chance: float) -> None:
    for worked in (lambda: at_least(1, tries, chance), lambda: alarm(tries, chance, 0.05)):
        with pytest.raises(ValueError, match="cannot be"):
            worked()


@pytest.mark.parametrize("at_most", [0.0, 1.0, 5.0])
def test_a_false_alarm_rate_must_lie_between_0_and_1(at_most: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        alarm(10, 0.5, at_most)
