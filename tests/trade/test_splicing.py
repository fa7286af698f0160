"""Splices against published sums of circular mils, and which cap of a list is taken."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import work

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


CAPS = "yellow 1000-4000, grey 2000-6500, red 5000-12000"


def choose(awg: str, caps: str = CAPS):
    return work("splice", {"awg": awg, "caps": caps})


@pytest.mark.parametrize(
    ("awg", "cap"),
    # Sums of circular mils from the table above; the caps are invented.
    [("18,18", "yellow"), ("18,18,18", "grey"), ("12,18", "red"), ("22,22", "yellow")],
)
def test_cap_taken_from_the_list_is_the_tightest_that_fits(awg, cap):
    worked = choose(awg)
    assert (worked.verdict, worked.results["cap"]) == ("good", cap)
    assert f"fits a {cap} cap that takes" in worked.because


def test_no_cap_of_the_list_is_bad_and_names_none():
    worked = choose("4,4")
    assert (worked.verdict, worked.values["cap"]) == ("bad", None)
    assert worked.because.startswith("No cap of the list takes 83482.6 cmil")


def test_order_of_the_list_does_not_matter():
    backwards = ",".join(reversed(CAPS.split(",")))
    assert choose("18,18", backwards).results == choose("18,18").results


def test_metric_lead_counts_by_its_own_area():
    # Source: NIST SP 811: 1 circular mil is 5.067075e-10 m²; 0.75 mm² is then 1480.1.
    assert splice("0.75 mm2,0.75 mm²").values["area_cmil"] == pytest.approx(2960.3, abs=0.1)


@pytest.mark.parametrize(
    "caps",
    ["grey", "grey 6500-1500", "grey 1500", "grey 50-6500", "1500-6500", "grey 1500-6500;red"],
)
def test_cap_that_cannot_be_read_is_refused_by_name(caps):
    with pytest.raises(ValueError, match=r"^caps cannot be .*: type 1 to 20 caps with commas"):
        choose("18,18", caps)


def test_range_of_a_cap_and_a_list_of_caps_exclude_each_other():
    with pytest.raises(ValueError, match=r"^cap_max_cmil is missing: type it too\.$"):
        work("splice", {"awg": "18,18", "cap_min_cmil": "1500"})
    with pytest.raises(ValueError, match=r"^cap_min_cmil with cap_max_cmil or caps is missing: "):
        work("splice", {"awg": "18,18"})
    with pytest.raises(ValueError, match=r"^cap_min_cmil and caps came together: "):
        work("splice", {"awg": "18,18", "cap_min_cmil": "1500", "caps": CAPS})
