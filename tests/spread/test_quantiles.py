"""Quantiles against a published example, a reference library and the definition of a bound."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats.mstats import mquantiles

from baycompanion.spread.quantiles import fewest_within, quantile, rank_within

VALUES = st.lists(st.floats(min_value=-1e6, max_value=1e6), min_size=1, max_size=200)
SHARES = st.floats(min_value=0.001, max_value=0.999)


def test_the_fortieth_percentile_of_five_is_that_of_the_worked_example() -> None:
    """Source: Percentile, Alternative Methods, liquisearch.com: 29 by 1 + (n − 1) × share.

    It is the alternative that the NIST/SEMATECH e-Handbook notes; the five values that the page
    takes from its own example above are from memory.
    """
    assert quantile([15, 20, 35, 40, 50], 0.4) == 29


@given(VALUES, SHARES)
def test_a_quantile_is_that_of_a_reference_library(values: list[float], share: float) -> None:
    """Source: `mquantiles` of SciPy, which is definition 7 with both its parameters 1."""
    expected = float(mquantiles(values, share, alphap=1, betap=1)[0])
    assert quantile(values, share) == pytest.approx(expected, rel=1e-9, abs=1e-6)


@given(VALUES, SHARES, SHARES)
def test_a_larger_share_has_no_smaller_quantile(
    values: list[float], one: float, other: float
) -> None:
    low, high = sorted((one, other))
    assert min(values) <= quantile(values, low) <= quantile(values, high) <= max(values)


@given(st.lists(st.integers(1, 10**6), min_size=1, max_size=50), SHARES)
def test_a_quantile_is_the_same_time_in_seconds_and_minutes(
    seconds: list[int], share: float
) -> None:
    minutes = [value / 60 for value in seconds]
    assert quantile(minutes, share) * 60 == pytest.approx(quantile(seconds, share), rel=1e-9)


def test_the_next_value_stays_within_the_ninth_of_nine_in_nine_of_ten_cases() -> None:
    """P[next ≤ k-th of n] = k ÷ (n + 1).

    Source, with its proof: el-hult.github.io/2022/06/10/nonparametric-pred.html.
    """
    assert rank_within(9, 0.9) == 9
    assert rank_within(8, 0.9) == 9  # past the last: eight cannot promise it
    assert rank_within(99, 0.9) == 90


@given(st.integers(min_value=0, max_value=5000), st.integers(min_value=1, max_value=99))
def test_the_rank_is_the_lowest_that_promises_the_share(count: int, percent: int) -> None:
    """In whole numbers, so that no rounding of 0.07 × 100 moves a rank."""
    rank = rank_within(count, percent / 100)
    assert 100 * rank >= percent * (count + 1) > 100 * (rank - 1)
    assert (rank <= count) == (count >= fewest_within(percent / 100))


def test_nine_past_values_are_the_fewest_for_9_in_10_and_one_for_1_in_2() -> None:
    assert (fewest_within(0.9), fewest_within(0.5), fewest_within(0.95)) == (9, 1, 19)


@pytest.mark.parametrize("share", [0.0, 1.0, 90.0, float("nan")])
def test_a_share_must_lie_between_0_and_1(share: float) -> None:
    for worked in (lambda: quantile([1, 2], share), lambda: rank_within(9, share)):
        with pytest.raises(ValueError, match="between 0 and 1"):
            worked()


def test_no_values_have_no_quantile() -> None:
    with pytest.raises(ValueError, match="no value"):
        quantile([], 0.5)
