"""The individuals chart against the handbook's worked example and its published run length."""

from itertools import pairwise
from math import exp
from statistics import NormalDist

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from baycompanion.spread.control import (
    FEWEST,
    RUN,
    Limits,
    Signal,
    limits,
    moving_ranges,
    signals,
)
from baycompanion.spread.logs import logs
from baycompanion.spread.silence import Silence

# Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, Individuals Control Charts, the
# ten batches of flow rate with their mean, mean moving range and limits:
# itl.nist.gov/div898/handbook/pmc/section3/pmc322.htm.
FLOW_RATE = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

VALUES = st.lists(st.floats(min_value=-1000, max_value=1000), min_size=FEWEST, max_size=80)
KNOWN = Limits(centre=0, lower=-3, upper=3, mean_range=1.128, range_limit=3.686, values=10**6)
"""Limits of the standard normal distribution."""


def drawn(values: list[float], fewest: int = FEWEST) -> Limits:
    found = limits(values, fewest)
    assert isinstance(found, Limits)
    return found


def test_the_limits_of_the_flow_rate_are_those_of_the_handbook() -> None:
    chart = drawn(FLOW_RATE, fewest=10)
    assert chart.centre == pytest.approx(50.81, abs=5e-5)
    assert chart.mean_range == pytest.approx(1.8778, abs=5e-5)
    assert chart.upper == pytest.approx(55.8041, abs=5e-5)
    assert chart.lower == pytest.approx(45.8159, abs=5e-5)


def test_the_moving_ranges_of_the_flow_rate_are_those_of_the_handbook() -> None:
    """The same page; the limit 3.267 × 1.8778 was worked by hand."""
    expected = [2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5]
    assert moving_ranges(FLOW_RATE) == pytest.approx(expected)
    assert drawn(FLOW_RATE, fewest=10).range_limit == pytest.approx(6.1347, abs=5e-5)


def test_the_flow_rate_is_in_control_as_the_handbook_says() -> None:
    assert signals(FLOW_RATE, drawn(FLOW_RATE, fewest=10)) == ()


def test_a_value_is_beyond_a_limit_only_past_it() -> None:
    values = [3.0, 3.01, 1.0, -1.0, -3.0, -3.01]
    beyond = [s.index for s in signals(values, KNOWN) if s.rule == "beyond a limit"]
    assert beyond == [1, 5]


def test_the_eighth_value_in_a_row_on_one_side_is_a_signal_told_once() -> None:
    row = [0.5] * 12
    assert signals([-1.0, *row, -1.0], KNOWN) == (Signal(8, "eight on one side", 1),)
    assert signals([1.0, *(-x for x in row)], KNOWN) == (Signal(8, "eight on one side", 1),)


@pytest.mark.parametrize("broken_by", [0.0, -0.5])
def test_a_value_on_the_centre_or_across_it_ends_a_row(broken_by: float) -> None:
    assert signals([0.5] * 7 + [broken_by] + [0.5] * 7, KNOWN) == ()


def test_a_step_longer_than_the_limit_of_ranges_is_a_signal_of_both_values() -> None:
    assert signals([1.0, -2.0, 2.0], KNOWN) == (Signal(2, "range beyond its limit", 1),)
    assert signals([1.843, -1.843], KNOWN) == ()  # just the limit, 3.686


def run_length(beyond: float) -> float:
    """Return how many values it takes on average until a signal, if nothing is wrong.

    `beyond` is the chance of one value beyond a limit; the state is the length of the row so far.
    """
    side = (1 - beyond) / 2
    # expected[k] = 1 + side × expected[k + 1] + side × expected[1]; the eighth ends it.
    constant, factor = 0.0, 0.0
    for _ in range(RUN - 1):
        constant, factor = 1 + side * constant, side * (1 + factor)
    return 1 + 2 * side * constant / (1 - factor)


def test_the_two_rules_together_come_once_in_153_values() -> None:
    """Source: Champ and Woodall, Technometrics 29 (1987), 393-399: 152.73; from memory.

    370.40 for the limits alone is 1 ÷ 0.0027, in every textbook.
    """
    beyond = 2 * NormalDist().cdf(-3)
    assert 1 / beyond == pytest.approx(370.40, abs=0.005)
    assert run_length(beyond) == pytest.approx(152.73, abs=0.005)


@given(VALUES, st.sampled_from([0.5, 60, 3600]), st.integers(-100, 100))
def test_another_unit_of_the_values_moves_the_limits_with_it(
    values: list[float], factor: float, shift: int
) -> None:
    here = limits(values)
    there = limits([value * factor + shift for value in values])
    assume(isinstance(here, Limits) and isinstance(there, Limits))
    for name in ("centre", "lower", "upper"):
        expected = getattr(here, name) * factor + shift
        assert getattr(there, name) == pytest.approx(expected, abs=1e-6, rel=1e-9)
    assert there.range_limit == pytest.approx(here.range_limit * factor, abs=1e-6)


@given(VALUES)
def test_signals_are_what_their_rules_say_and_in_order(values: list[float]) -> None:
    chart = limits(values)
    assume(isinstance(chart, Limits))
    found = signals(values, chart)
    assert all(one.index <= other.index for one, other in pairwise(found))
    for signal in found:
        part = values[signal.first : signal.index + 1]
        if signal.rule == "beyond a limit":
            assert not chart.lower <= part[0] <= chart.upper
        elif signal.rule == "eight on one side":
            assert len(part) == 8
            assert min(part) > chart.centre or max(part) < chart.centre
        else:
            assert abs(part[1] - part[0]) > chart.range_limit


def test_times_charted_by_their_logarithms_have_no_limit_below_zero() -> None:
    """Plain limits of such skewed times reach below zero, where no time can be."""
    times = [40.0, 300.0, 60.0, 700.0, 90.0] * 4
    assert drawn(times).lower < 0 < exp(drawn(logs(times)).lower)


def test_nothing_is_said_of_fewer_values_than_stated_or_of_equal_ones() -> None:
    assert limits([1.0, 2.0] * 9) == Silence("too few", 18, FEWEST)
    assert limits([1.0] * 20) == Silence("all alike", 20, FEWEST)
    assert limits([1.0], fewest=0) == Silence("too few", 1, 2)
