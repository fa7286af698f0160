"""The modified z-score against the example of its authors and a reference library."""

from math import exp

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import median_abs_deviation

from baycompanion.spread.outliers import FEWEST, Spread, outlying_times, score, spread
from baycompanion.spread.silence import Silence

# Source: the ten values of Iglewicz and Hoaglin, How to Detect and Handle Outliers (1993), and
# their scores, both as printed in the README of github.com/richieBao/python-urbanPlanning.
TEN = [2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3]
SCORES = [
    *(1.57383333, 0.6745, 0.22483333, 0.22483333, 0.6745),
    *(1.57383333, 0.6745, 0.6745, 25.85583333, 26.3055),
]

TIMES = st.lists(st.floats(min_value=1, max_value=1e5), min_size=FEWEST, max_size=60)


def spread_of(values: list[float], fewest: int = FEWEST) -> Spread:
    around = spread(values, fewest)
    assert isinstance(around, Spread)
    return around


def test_the_ten_values_of_the_authors_have_their_published_scores() -> None:
    around = spread_of(TEN, fewest=10)
    assert [abs(score(value, around)) for value in TEN] == pytest.approx(SCORES, abs=5e-9)
    assert around.values == 10


def test_times_whose_logarithms_are_these_values_name_the_last_two() -> None:
    found = outlying_times([exp(value) for value in TEN], fewest=10)
    assert isinstance(found, tuple)
    assert [outlier.index for outlier in found] == [8, 9]
    assert [outlier.score for outlier in found] == pytest.approx(SCORES[8:])


def test_a_phase_far_too_short_has_a_score_below_zero() -> None:
    times = [600 + 7 * step for step in range(FEWEST)] + [60]
    found = outlying_times(times)
    assert isinstance(found, tuple)
    assert [(outlier.index, outlier.score < -3.5) for outlier in found] == [(FEWEST, True)]


@given(TIMES)
def test_the_spread_is_that_of_a_reference_library(values: list[float]) -> None:
    """Source: `median_abs_deviation` of SciPy, unscaled."""
    around = spread(values)
    if isinstance(around, Silence):
        assert median_abs_deviation(values) == 0
    else:
        assert around.deviation == pytest.approx(median_abs_deviation(values), rel=1e-12)


@given(TIMES, st.sampled_from([0.001, 1 / 60, 2, 1000]))
def test_another_unit_of_time_changes_no_score(times: list[float], factor: float) -> None:
    here, there = (
        outlying_times(each, cut_off=1e-6) for each in (times, [time * factor for time in times])
    )
    assume(isinstance(here, tuple) and isinstance(there, tuple))
    assume(max((abs(outlier.score) for outlier in here), default=0) < 1e6)
    scores = {outlier.index: outlier.score for outlier in here}
    for outlier in there:
        assert outlier.score == pytest.approx(scores.get(outlier.index, 0), rel=1e-5, abs=1e-5)


def test_nothing_is_said_of_fewer_times_than_stated() -> None:
    assert outlying_times([float(n) for n in range(1, FEWEST)]) == Silence("too few", 19, FEWEST)


def test_nothing_is_said_where_more_than_half_the_times_are_the_same() -> None:
    """Else one second more would be infinitely far out."""
    times = [300.0] * 11 + [301.0 + n for n in range(9)]
    assert outlying_times(times) == Silence("all alike", 20, FEWEST)
    assert isinstance(outlying_times([*times[2:], 400.0, 401.0]), tuple)


@pytest.mark.parametrize("time", [0.0, -3.0, float("nan"), float("inf")])
def test_a_time_that_has_no_logarithm_is_named_by_its_place(time: float) -> None:
    with pytest.raises(ValueError, match="Time 2 is"):
        outlying_times([5.0, 6.0, time, 7.0])
