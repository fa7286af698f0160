"""Stations against the broadcast rules' own grids."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import work

REGIONS = ["us", "itu1", "itu2", "itu3", "japan"]


def station(band: str, frequency: object, region: str = "us"):
    return work("station", {"band": band, "frequency": f"{frequency}", "region": region})


def on_grid(band: str, region: str, first: int, last: int, scale: int) -> list[int]:
    """Return every 10 kHz (FM) or 1 kHz (AM) on which there is a station, in those steps."""
    steps = range(first, last + 1)
    return [at for at in steps if station(band, Decimal(at) / scale, region).values["on_grid"]]


def test_fm_grid_is_the_one_of_47_cfr_73_201():
    # Source: 47 CFR 73.201: 88.1 MHz (channel 201) to 107.9 MHz (channel 300), 0.2 MHz apart.
    tenths = on_grid("fm", "us", 860, 1090, 10)
    assert tenths == list(range(881, 1080, 2))
    assert len(tenths) == 100


@pytest.mark.parametrize(
    ("megahertz", "channel"),
    # Source: 47 CFR 73.201 (first and last) and 73.501 (88.1 to 91.9 are 201 to 220).
    [("88.1", 201), ("91.9", 220), ("94.7", 234), ("107.9", 300)],
)
def test_fm_channel_is_the_one_the_rule_numbers(megahertz, channel):
    assert station("fm", megahertz).values["channel"] == channel


def test_am_grid_is_the_one_of_47_cfr_73_14():
    # Source: 47 CFR 73.14: 540 to 1700 kHz in steps of 10, 117 carriers.
    found = on_grid("am", "us", 500, 1750, 1)
    assert found == list(range(540, 1701, 10))
    assert len(found) == 117


@pytest.mark.parametrize("region", ["itu1", "itu3"])
def test_am_grid_of_regions_1_and_3_is_the_multiples_of_9(region):
    # Source: a board post on the ITU's allocation (531 to 1602 kHz, all multiples of 9) and an
    # encyclopedia copy on the expanded band (1611 to 1701 kHz): 120 and 11 carriers.
    found = on_grid("am", region, 500, 1750, 1)
    assert found == [khz for khz in range(531, 1702) if khz % 9 == 0]
    assert len(found) == 120 + 11


@pytest.mark.parametrize(("region", "count"), [("itu3", 206), ("itu1", 411)])
def test_fm_grid_elsewhere_has_steps_of_100_or_50_khz(region, count):
    # Source: fmtrick.blogspot.com/2007/05: 87.5 to 108.0 MHz, multiples of 0.1, in places 0.05.
    assert len(on_grid("fm", region, 8700, 10900, 100)) == count


@pytest.mark.parametrize(("megahertz", "kept"), [("76.0", True), ("89.9", True), ("75.9", False)])
def test_fm_band_of_japan_begins_at_76_mhz(megahertz, kept):
    # Source: the same page: 76 to 90 MHz; the part above 90 MHz is from memory.
    assert station("fm", megahertz, "japan").values["on_grid"] is kept


def test_even_tenth_is_off_the_us_grid_and_the_nearest_is_named():
    worked = station("fm", "94.8")
    assert worked.verdict == "bad"
    assert worked.values["nearest"] == 94.7
    assert "region the tuner is set to" in worked.because


@pytest.mark.parametrize(
    ("band", "typed", "nearest"),
    [
        ("fm", "94.7 MHz", 94.7),
        ("fm", "94700 kHz", 94.7),
        ("fm", "94,7", 94.7),
        ("am", "1.01 MHz", 1010),
        ("AM", "1010khz", 1010),
    ],
)
def test_frequency_is_read_in_either_unit(band, typed, nearest):
    worked = station(band, typed)
    assert (worked.values["on_grid"], worked.values["nearest"]) == (True, nearest)


@pytest.mark.parametrize("typed", ["", "0", "94.7 m", "8", "1010", "ten"])
def test_what_is_no_frequency_of_the_band_is_refused(typed):
    with pytest.raises(ValueError, match="frequency"):
        station("fm", typed)


def test_shown_line_holds_the_numbers_of_the_sum():
    assert station("am", "1010", "itu1").shown == "531 + 53 × 9 = 1008 kHz"


@given(st.sampled_from(REGIONS), st.integers(60_000, 120_000))
def test_nearest_is_on_the_grid_and_no_neighbour_is_nearer(region, khz):
    worked = station("fm", Decimal(khz) / 1000, region)
    near = worked.results["nearest"]
    assert station("fm", near, region).values["on_grid"]
    away = abs(Decimal(near) - Decimal(khz) / 1000)
    for step in (Decimal("0.05"), Decimal("0.1"), Decimal("0.2")):
        for other in (Decimal(near) + step, Decimal(near) - step):
            if station("fm", other, region).values["on_grid"]:
                assert abs(other - Decimal(khz) / 1000) >= away


@given(st.sampled_from(REGIONS), st.integers(500, 1750))
def test_grids_of_am_hold_their_own_nearest(region, khz):
    near = station("am", khz, region).results["nearest"]
    assert station("am", near, region).verdict == "good"
