"""Readings that repeat to the last digit: what is named, and the chance that goes with it."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import hypergeom

from baycompanion.spread.repeats import (
    FEWEST,
    Repeat,
    beyond_chance,
    repeat_chance,
    unlike_others,
)
from baycompanion.spread.silence import Silence

READINGS = st.lists(st.sampled_from(["12.4", "12.5", "12.6", "12.60", "12.7"]), max_size=40)


def test_four_equal_readings_fall_to_one_half_by_chance_as_worked_by_hand() -> None:
    """The first of four falls to ten of twenty places in 10 of 20, the next in 9 of 19, and on.

    Two values stand there twice or more, so that the chance is doubled; the readings that stand
    there once change nothing.
    """
    own = ["4.0"] * 4 + [f"5.{n}" for n in range(6)]
    others = ["4.1"] * 4 + [f"6.{n}" for n in range(6)]
    by_hand = 10 / 20 * 9 / 19 * 8 / 18 * 7 / 17
    assert unlike_others(own, others) == Repeat("4.0", 4, 10, pytest.approx(2 * by_hand))


def test_the_reading_of_one_person_that_others_never_have_is_named() -> None:
    others = [f"12.{n % 9 + 1}" for n in range(60)]
    found = unlike_others(["12.55"] * 8 + ["12.4", "12.6"], others)
    assert isinstance(found, Repeat)
    assert (found.reading, found.count, found.of) == ("12.55", 8, 10)
    assert found.chance < 1e-5


def test_a_reading_that_everybody_has_is_no_alarm() -> None:
    found = unlike_others(["12.6"] * 19 + ["12.5"], ["12.6"] * 38 + ["12.5", "12.7"])
    assert isinstance(found, Repeat)
    assert found.chance > 0.5


def test_a_reading_typed_with_one_digit_more_is_another() -> None:
    found = unlike_others(["12.60"] * 12, ["12.6"] * 12)
    assert isinstance(found, Repeat)
    assert (found.reading, found.count) == ("12.60", 12)
    assert found.chance < 1e-5


@given(READINGS, READINGS)
def test_the_chance_against_others_is_that_of_a_reference_library(
    own: list[str], others: list[str]
) -> None:
    """Source: `hypergeom.sf` of SciPy, times the values that stand there twice or more."""
    found = unlike_others(own, others)
    if min(len(own), len(others)) < FEWEST:
        assert found == Silence("too few", min(len(own), len(others)), FEWEST)
        return
    pool = own + others
    values = [value for value in set(pool) if pool.count(value) >= 2]
    chances = [
        hypergeom.sf(own.count(value) - 1, len(pool), pool.count(value), len(own))
        for value in values
        if value in own
    ]
    assert isinstance(found, Repeat)
    assert found.chance == pytest.approx(min(1, len(values) * min(chances)), rel=1e-9)
    assert found.count == own.count(found.reading)


@pytest.mark.parametrize(
    ("count", "readings", "values"), [(2, 4, 3), (3, 5, 2), (4, 6, 3), (5, 5, 4)]
)
def test_the_chance_of_a_repeat_is_never_below_that_counted_out(
    count: int, readings: int, values: int
) -> None:
    """Every row of readings written down, each value as likely as the next."""
    rows = list(product(range(values), repeat=readings))
    repeated = sum(max(row.count(value) for value in row) >= count for row in rows)
    chance = repeat_chance(count, readings, 1 / values)
    assert chance >= repeated / len(rows) * (1 - 1e-12)
    if count == readings:
        assert chance == pytest.approx(repeated / len(rows))


def test_ten_readings_all_the_same_where_half_may_be_have_a_chance_of_1_in_512() -> None:
    """The first may be any, and nine more agree with it: 0.5⁹."""
    assert beyond_chance(["4.0"] * 10, 0.5) == Repeat("4.0", 10, 10, pytest.approx(1 / 512))


@given(st.integers(2, 60), st.integers(10, 60), st.floats(min_value=0.01, max_value=0.99))
def test_more_repeats_are_less_likely_and_a_larger_natural_share_makes_them_likelier(
    count: int, readings: int, natural: float
) -> None:
    chance = repeat_chance(count, readings, natural)
    assert 0 <= repeat_chance(count + 1, readings, natural) <= chance <= 1
    assert repeat_chance(count, readings, natural / 2) <= chance


def test_nothing_is_said_of_fewer_readings_than_stated() -> None:
    assert beyond_chance(["4.0"] * 9, 0.5) == Silence("too few", 9, FEWEST)
    assert unlike_others(["4.0"] * 30, ["4.1"] * 9) == Silence("too few", 9, FEWEST)


@pytest.mark.parametrize("natural", [0.0, 1.0, -0.1, float("nan")])
def test_a_natural_share_must_lie_between_0_and_1(natural: float) -> None:
    with pytest.raises(ValueError, match="cannot be judged"):
        beyond_chance(["4.0"] * 10, natural)
