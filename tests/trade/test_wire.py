"""Gauges and splices against published copper tables and the formula's own table."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import work
from baycompanion.trade.wire import area_cmil, diameter_mil, gauge_number, written_gauge

# Source: Common Wire Gauges, HyperPhysics, hyperphysics.phy-astr.gsu.edu/hbase/tables/wirega.html.
COPPER_TABLE_CMIL = {
    "4/0": 211600,
    "0": 105530,
    "4": 41742,
    "8": 16509,
    "10": 10381,
    "12": 6529,
    "14": "4106.8",
    "16": "2582.9",
    "18": "1624.3",
    "20": "1021.5",
    "22": "642.4",
}

# Source: American wire gauge, encyclopedia copy, tickerdossier.com/wiki/an-awg-15 (the formula);
# the digits were computed from it apart from this code.
DIAMETERS_IN = {
    "4/0": "0.46000",
    "0": "0.32486",
    "4": "0.20431",
    "8": "0.12849",
    "10": "0.10190",
    "12": "0.08081",
    "14": "0.06408",
    "16": "0.05082",
    "18": "0.04030",
    "20": "0.03196",
    "22": "0.02535",
}

# Source: NASA-STD-8739.4, section 19, gives the rule (add circular mils); the sums were computed
# from the gauge formula apart from this code.
SPLICES_CMIL = {
    "18,18": "3248.6",
    "18,16": "4207.0",
    "18,18,18": "4872.9",
    "22,22,18": "2909.2",
}

GAUGES = st.one_of(
    st.integers(1, 40).map(str), st.sampled_from(["0", "00", "000", "0000", "1/0", "2/0", "4/0"])
)


def splice(awg: str, least: str = "100", most: str = "500000", **more: str):
    return work("splice", {"awg": awg, "cap_min_cmil": least, "cap_max_cmil": most, **more})


@pytest.mark.parametrize(("awg", "printed"), COPPER_TABLE_CMIL.items())
def test_area_agrees_with_the_published_copper_table(awg, printed):
    # 0.03 % absorbs the rounding of the printed table.
    assert abs(area_cmil(awg) / Decimal(printed) - 1) < Decimal("0.0003")


@pytest.mark.parametrize(("awg", "inches"), DIAMETERS_IN.items())
def test_diameter_agrees_with_the_gauge_definition(awg, inches):
    assert round(diameter_mil(awg) / 1000, 5) == Decimal(inches)


def test_the_two_gauges_that_define_the_scale_are_exact():
    # Source: the definition itself: 36 AWG is 0.005 in, 4/0 is 0.46 in.
    assert diameter_mil("36") == 5
    assert round(diameter_mil("4/0"), 20) == 460


@pytest.mark.parametrize(("awg", "area"), SPLICES_CMIL.items())
def test_splice_adds_the_circular_mils_of_its_leads(awg, area):
    assert splice(awg).results == {"area_cmil": area}


def test_two_leads_of_18_miss_gauge_15_by_little():
    # Source: the same table of sums: 2 x 18 AWG is 3248.6 against 3256.8 for 15 AWG.
    assert splice("18,18", least="3256.8").verdict == "bad"
    assert splice("18,18", least="3248.6").verdict == "good"


def test_stranded_wire_holds_a_little_less_than_the_formula():
    # Source: a connector maker's sheet "Computing Circular Mil Area" (address left out: company
    # name): 18 AWG of 16 strands 1600 + 16 AWG of 19 strands 2426 = 4026.
    assert Decimal("0.95") < 4026 / Decimal(splice("18,16").results["area_cmil"]) < 1


def test_vehicle_wire_holds_no_less_than_nine_tenths_of_the_formula():
    # Source: Wire / Conductor Sizes, sportsmensmarine.com/archives/1034 (SAE sizes).
    sae = {"18": 1537, "16": 2336, "14": 3702, "12": 5833, "10": 9343}
    # Allow 0.7 %: the thickest sizes hold a hair less than nine tenths.
    assert all(area / area_cmil(awg) > Decimal("0.893") for awg, area in sae.items())


@pytest.mark.parametrize(
    ("least", "most", "verdict", "word"),
    [
        ("3248.6", "3248.6", "good", "fits"),
        ("3248.7", "9000", "bad", "too little"),
        ("100", "3248.5", "bad", "too much"),
    ],
)
def test_cap_takes_both_ends_of_its_range_and_nothing_beyond(least, most, verdict, word):
    worked = splice("18,18", least, most)
    assert worked.verdict == verdict
    assert word in worked.because


def test_splice_near_the_least_of_its_cap_is_good_but_asks_for_a_hard_tug():
    assert "tug each one hard" in splice("18,18", "3000", "6500").because
    assert "tug" not in splice("18,18", "2000", "6500").because


def test_strip_length_is_19_mm_unless_the_cap_says_otherwise():
    # Common practice (3/4 in), no source.
    assert splice("18,18").inputs["strip_mm"] == "19"
    assert "strip each lead 9.5 mm" in splice("18,18", strip_mm="9.5").because


def test_shown_line_holds_the_numbers_of_the_sum():
    assert splice("18,16").shown == (
        "(5 × 92^((36 − n) ÷ 39))² for each gauge n: 1624.30 + 2582.74 = 4207.0 cmil"
    )


def test_cap_with_its_ends_swapped_is_refused():
    with pytest.raises(ValueError, match=r"^cap_min_cmil 6500 is more than cap_max_cmil 1500: "):
        splice("18,18", "6500", "1500")


@pytest.mark.parametrize("awg", ["18", "", "18,", "18,41", "18,5/0", "18,-1", "18,18.5", "18;18"])
def test_gauges_that_are_none_or_too_few_are_refused_by_name(awg):
    with pytest.raises(ValueError, match="awg"):
        splice(awg)


def test_thirteen_leads_in_one_cap_are_refused():
    with pytest.raises(ValueError, match="2 to 12 gauges"):
        splice(",".join(["22"] * 13))


@pytest.mark.parametrize(
    ("typed", "number", "usual"),
    [("18", 18, "18"), ("08", 8, "8"), ("0", 0, "1/0"), ("00", -1, "2/0"), ("0000", -3, "4/0")],
)
def test_gauge_is_read_in_every_usual_spelling(typed, number, usual):
    assert gauge_number(typed) == number == gauge_number(usual)
    assert written_gauge(typed) == usual


@given(st.lists(GAUGES, min_size=2, max_size=12), st.randoms())
def test_area_of_a_splice_does_not_depend_on_the_order_of_its_leads(leads, chance):
    shuffled = list(leads)
    chance.shuffle(shuffled)
    assert splice(",".join(leads)).results == splice(",".join(shuffled)).results


@given(st.lists(GAUGES, min_size=2, max_size=11), GAUGES)
def test_one_more_lead_always_adds_copper(leads, another):
    before, after = (
        Decimal(splice(",".join(some)).results["area_cmil"]) for some in (leads, [*leads, another])
    )
    assert after > before
