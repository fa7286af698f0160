"""Readings just inside a limit: the three bands, and the chance against both neighbours."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from baycompanion.spread.near_limit import FEWEST, Crowding, crowding
from baycompanion.spread.silence import Silence

TENTHS = st.lists(st.integers(-9, 9).map(lambda n: Decimal(n) / 10), max_size=60)
WIDTH = Decimal("0.3")


def at_limit(*counts: tuple[str, int], width: str = "0.2") -> Crowding:
    readings = [Decimal(text) for text, count in counts for _ in range(count)]
    found = crowding(readings, Decimal("4.0"), "at most", Decimal(width))
    assert isinstance(found, Crowding)
    return found


def test_the_limit_itself_is_inside_and_every_band_holds_as_many_last_digits() -> None:
    found = at_limit(*((f"{tenths / 10:.1f}", 4) for tenths in range(34, 46)))
    assert (found.inside, found.further_in, found.outside) == (8, 8, 8)


def test_ten_inside_and_none_beside_have_the_chance_of_ten_heads() -> None:
    found = at_limit(("4.0", 10))
    assert found == Crowding(10, 0, 0, pytest.approx(1 / 1024))


def test_readings_that_grow_rarer_towards_the_limit_are_no_alarm() -> None:
    """None outside would alone be a chance of 1 in 1024; the band further in explains it."""
    assert at_limit(("4.0", 10), ("3.7", 25)).chance > 0.99


def test_readings_that_grow_more_frequent_past_the_limit_are_no_alarm() -> None:
    assert at_limit(("4.0", 10), ("4.1", 25)).chance > 0.99


def test_the_larger_chance_of_the_two_neighbours_counts() -> None:
    """15 of 18 and 15 of 20, one-sided; source: `binomtest` of SciPy."""
    found = at_limit(("4.0", 15), ("3.7", 5), ("4.1", 3))
    assert found.chance == pytest.approx(binomtest(15, 20, 0.5, alternative="greater").pvalue)


@given(TENTHS)
def test_every_reading_near_the_limit_lies_in_one_band(readings: list[Decimal]) -> None:
    near = sum(-2 * WIDTH < reading <= WIDTH for reading in readings)
    found = crowding(readings, Decimal(0), "at most", WIDTH)
    if near < FEWEST:
        assert found == Silence("too few", near, FEWEST)
    else:
        assert isinstance(found, Crowding)
        assert found.inside + found.further_in + found.outside == near
        assert 0 <= found.chance <= 1


@given(TENTHS)
def test_at_least_is_the_mirror_of_at_most(readings: list[Decimal]) -> None:
    mirrored = [-reading for reading in readings]
    assert crowding(readings, Decimal(0), "at most", WIDTH) == crowding(
        mirrored, Decimal(0), "at least", WIDTH
    )


@given(TENTHS, st.sampled_from([Decimal(1000), Decimal("0.001"), Decimal(60)]))
def test_another_unit_changes_nothing(readings: list[Decimal], factor: Decimal) -> None:
    scaled = [reading * factor for reading in readings]
    assert crowding(readings, Decimal(0), "at most", WIDTH) == crowding(
        scaled, Decimal(0), "at most", WIDTH * factor
    )


@pytest.mark.parametrize("width", ["0", "-0.1", "NaN"])
def test_a_band_must_have_a_width(width: str) -> None:
    with pytest.raises(ValueError, match="must be above 0"):
        crowding([], Decimal(4), "at most", Decimal(width))
