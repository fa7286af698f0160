"""Stations as people note them: one spelling, compared by frequency, held against the grid."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.stations import off_grid, same_station, tidy_station


@pytest.mark.parametrize(
    ("noted", "kept"),
    [
        ("94.7", "FM 94.7"),
        ("fm 94,70 MHz", "FM 94.7"),
        ("FM: 94.7", "FM 94.7"),
        ("94700 kHz", "FM 94.7"),
        ("810", "AM 810"),
        ("am 810 khz", "AM 810"),
        ("MW 1.2 MHz", "AM 1200"),
        ("FM94.7", "FM 94.7"),
        ("AM810", "AM 810"),
        ("94.7 FM", "FM 94.7"),
        ("810am The mill", "AM 810 The mill"),
        ("94.7 FM FM", "FM 94.7 FM"),
        ("94.7 am Markt", "FM 94.7 am Markt"),
        ("94.7 The mill", "FM 94.7 The mill"),
        ("FM 94.7 – The mill", "FM 94.7 The mill"),
        # No frequency of a band: kept as it was noted.
        ("The mill, digital", "The mill, digital"),
        ("24", "24"),
        ("FM 810", "FM 810"),
        ("9999", "9999"),
        ("", ""),
    ],
)
def test_a_station_has_one_spelling(noted: str, kept: str) -> None:
    assert tidy_station(noted) == kept
    assert tidy_station(kept) == kept


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("FM 94.7 The mill", "94,7", True),
        ("FM 94.7", "FM 94.9", False),
        ("AM 810", "810 kHz", True),
        ("The Mill", "the  mill", True),
        ("The mill", "FM 94.7", False),
    ],
)
def test_two_entries_are_one_station_by_their_frequency(one: str, other: str, same: bool) -> None:
    assert same_station(one, other) is same
    assert same_station(other, one) is same


@pytest.mark.parametrize(
    ("entry", "region", "nearest"),
    [
        # Source: 47 CFR 73.201 (FM, odd tenths) and 73.14 (AM, whole tens).
        ("FM 94.7", "us", ""),
        ("FM 94.6", "us", "94.5 MHz"),
        ("AM 810", "us", ""),
        ("AM 774", "us", "770 kHz"),
        # Source: the ITU's plan for Regions 1 and 3, multiples of 9 kHz: 774 is 9 times 86.
        ("AM 774", "itu3", ""),
        ("FM 99.2", "itu3", ""),
        # Nothing can be said without a region, or without a frequency.
        ("FM 94.6", "", ""),
        ("The mill", "us", ""),
    ],
)
def test_a_station_off_the_grid_of_its_region_is_told_with_the_nearest(
    entry: str, region: str, nearest: str
) -> None:
    told = off_grid(entry, region)
    assert bool(told) is bool(nearest)
    assert nearest in told


@given(st.integers(0, 99).map(lambda step: 88_100 + 200 * step))
def test_every_channel_of_47_cfr_73_201_is_told_nothing_of_however_it_is_typed(khz: int) -> None:
    for typed in (f"{khz / 1000}", f"FM {khz / 1000:.2f}", f"{khz} kHz"):
        assert off_grid(typed, "us") == ""
        assert same_station(typed, f"fm {khz / 1000} mhz")


@given(st.text(max_size=40))
def test_any_entry_is_kept_and_agrees_with_itself(entry: str) -> None:
    assert same_station(entry, entry)
    assert tidy_station(tidy_station(entry)) == tidy_station(entry)
    off_grid(entry, "us")
