"""Screw lengths against a published length table and published rules of thumb."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import work
from baycompanion.trade.fasteners import FIRST_CHOICE_MM, SECOND_CHOICE_MM

# Source: ISO 1207, range of commercial lengths, eng-calculations.com/ISO/ISO_1207/dimensions;
# brackets mark lengths of second choice. M1.6 begins the list, M10 ends it.
ISO_1207 = {
    "M1.6": "2, 3, 4, 5, 6, 8, 10, 12, (14), 16",
    "M3": "4, 5, 6, 8, 10, 12, (14), 16, 20, 25, 30",
    "M4": "5, 6, 8, 10, 12, (14), 16, 20, 25, 30, 35, 40",
    "M5": "6, 8, 10, 12, (14), 16, 20, 25, 30, 35, 40, 45, 50",
    "M6": "8, 10, 12, (14), 16, 20, 25, 30, 35, 40, 45, 50, (55), 60",
    "M8": "10, 12, (14), 16, 20, 25, 30, 35, 40, 45, 50, (55), 60, (65), 70, (75), 80",
    "M10": "12, (14), 16, 20, 25, 30, 35, 40, 45, 50, (55), 60, (65), 70, (75), 80",
}

# Source: FsData/iso7045length.csv of the fasteners workbench of a free CAD program
# (github.com/shaise/FreeCAD_FastenersWB): lengths made of ISO 7045 pan head screws.
ISO_7045 = "3 4 5 6 8 10 12 14 16 20 25 30 35 40 45 50 55 60"

MILLIMETRES = st.decimals("2", "60", places=2)
SPACERS = st.decimals("0", "20", places=2)


def screw(original: str, spacer: str, into: str = "steel", diameter: str = "5", **more: str):
    given = {"original_mm": original, "spacer_mm": spacer, "into": into, "diameter_mm": diameter}
    return work("screw-length", {**given, **more})


def length_of(worked) -> Decimal:
    return Decimal(worked.results["stock_mm"])


def test_nominal_lengths_are_those_of_the_published_table():
    listed = {item for row in ISO_1207.values() for item in row.split(", ")}
    assert {str(length) for length in FIRST_CHOICE_MM} == {i for i in listed if i.isdigit()}
    assert {f"({length})" for length in SECOND_CHOICE_MM} == {i for i in listed if "(" in i}


def test_every_length_of_a_second_standard_is_known():
    known = {str(length) for length in FIRST_CHOICE_MM + SECOND_CHOICE_MM}
    assert set(ISO_7045.split()) <= known


@pytest.mark.parametrize(
    ("original", "spacer", "needed", "stock"),
    [
        ("8", "0", "8", "8"),
        ("8", "2", "10", "10"),
        ("8", "2.5", "10.5", "12"),
        ("8", "5", "13", "16"),
        ("12", "2", "14", "16"),
        ("16", "6", "22", "25"),
        ("50", "5", "55", "60"),
        ("60", "20", "80", "80"),
    ],
)
def test_stock_length_is_the_next_first_choice_at_or_above_old_length_and_spacer(
    original, spacer, needed, stock
):
    results = screw(original, spacer).results
    assert (results["needed_mm"], results["stock_mm"]) == (needed, stock)


@pytest.mark.parametrize(
    ("into", "wanted"),
    [
        # Source: designnews.com doc 239122: steel 1.0 d (another page says 1.5), aluminium 2.0 d.
        ("steel", "5"),
        ("aluminium", "10"),
        # Plastic boss 2.0 to 2.5 d: common practice, no source; the upper end is taken.
        ("plastic", "12.5"),
    ],
)
def test_m5_thread_wants_the_engagement_of_the_rule_of_thumb(into, wanted):
    assert f"{into} wants {wanted} mm" in screw("30", "0", into).because


def test_engagement_is_what_is_left_after_spacer_and_bracket():
    worked = screw("8", "5", bracket_mm="1.5")
    assert worked.results["engagement_mm"] == "9.5"
    assert worked.because == "The 16 mm screw engages 9.5 mm, and steel wants 5 mm."


def test_engagement_without_a_bracket_is_said_to_be_the_most_it_can_be():
    assert "engages at most 11 mm" in screw("8", "5").because


def test_next_length_too_short_by_a_step_gives_way_to_a_longer_one_that_fits():
    # M5 in aluminium wants 10 mm; the reach of 12 mm is 10 with a bracket of 2, 9.9 with 2.1.
    assert length_of(screw("12", "0", "aluminium", bracket_mm="2")) == 12
    longer = screw("12", "0", "aluminium", bracket_mm="2.1")
    assert (longer.verdict, longer.values["stock_mm"]) == ("good", 14)
    assert longer.because == (
        "The next length, 12 mm, is too short; the 14 mm screw engages 11.9 mm, and aluminium"
        " wants 10 mm, if the hole is deep enough."
    )


def test_next_length_that_only_touches_the_bottom_gives_way_to_a_shorter_one_that_fits():
    assert length_of(screw("8", "5", hole_depth_mm="11.1")) == 16
    shorter = screw("8", "5", hole_depth_mm="11")
    assert (shorter.verdict, shorter.values["stock_mm"]) == ("good", 14)
    assert shorter.values["engagement_mm"] == 9
    assert shorter.because.startswith("The next length, 16 mm, bottoms out; the 14 mm screw ")


def test_too_short_stays_bad_where_a_longer_one_bottoms_out():
    # M5 in aluminium wants 10 mm, and no screw may go in as far as the hole's 10 mm.
    worked = screw("12", "0", "aluminium", bracket_mm="5", hole_depth_mm="10")
    assert worked.verdict == "bad"
    assert "is too short" in worked.because
    assert "vehicle maker's screw" in worked.because


def test_engagement_is_never_more_than_the_hole_is_deep():
    assert screw("30", "0", "plastic", hole_depth_mm="6").results["engagement_mm"] == "6"


def test_hole_that_no_length_suits_sends_to_the_vehicle_makers_screw():
    worked = screw("8", "5", "plastic", hole_depth_mm="10")
    assert (worked.verdict, worked.values["stock_mm"]) == ("bad", 16)
    assert worked.because.startswith("The 16 mm screw bottoms out: ")
    assert "no length made fits" in worked.because


def test_hole_left_out_is_not_judged_and_not_among_the_inputs_used():
    worked = screw("8", "5")
    assert "hole_depth_mm" not in worked.inputs
    assert worked.inputs["bracket_mm"] == "0"


def test_shown_line_holds_the_numbers_of_the_sum():
    assert screw("8", "5").shown == (
        "8 + 5 = 13 mm, next 16 mm; 16 mm reaches 16 − 5 − 0 = 11 mm, wanted 1 × 5 = 5 mm"
    )


def test_screw_that_never_reached_through_its_bracket_is_refused():
    with pytest.raises(ValueError, match=r"^original_mm 5 does not reach through bracket_mm 5: "):
        screw("5", "0", bracket_mm="5")


@given(MILLIMETRES, SPACERS, SPACERS)
def test_longer_spacer_never_gives_a_shorter_screw(original, one, other):
    thin, thick = sorted((one, other))
    assert length_of(screw(str(original), f"{thin:f}")) <= length_of(
        screw(str(original), f"{thick:f}")
    )


@given(MILLIMETRES, SPACERS, st.sampled_from(["steel", "aluminium", "plastic"]))
def test_new_screw_engages_at_least_as_much_as_the_old_one_did(original, spacer, into):
    worked = screw(str(original), f"{spacer:f}", into)
    assert Decimal(worked.results["engagement_mm"]) >= original


@given(MILLIMETRES, SPACERS, st.decimals("1", "100", places=1))
def test_verdict_is_good_exactly_where_some_length_made_neither_bottoms_out_nor_is_too_short(
    original, spacer, deep
):
    worked = screw(str(original), f"{spacer:f}", hole_depth_mm=f"{deep:f}")
    made = {Decimal(item.strip("()")) for row in ISO_1207.values() for item in row.split(", ")}
    fits = {length for length in made if 5 <= length - spacer < deep}
    assert (worked.verdict == "good") == bool(fits)
    if fits:
        assert length_of(worked) in fits
    else:
        assert "bottoms out" in worked.because or "too short" in worked.because
