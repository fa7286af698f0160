"""Speaker loads against textbook circuits."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import kind_of, work

SPEAKERS = st.lists(st.sampled_from(["1", "2", "3.2", "4", "6", "8", "16"]), min_size=1, max_size=8)


def load(impedances: str, wiring: str, **more: str):
    return work("speaker-load", {"impedances_ohm": impedances, "wiring": wiring, **more})


@pytest.mark.parametrize(
    ("impedances", "wiring", "ohm"),
    [
        # Source: howeverythingworks.org, question 556: two of 4 Ω are 8 in series and 2 in
        # parallel, four of 4 Ω are 16 in series and 1 in parallel.
        ("4,4", "series", 8),
        ("4,4", "parallel", 2),
        ("4,4,4,4", "series", 16),
        ("4,4,4,4", "parallel", 1),
        # Textbook rule of reciprocals, worked by hand: 32/12 and 4/3.
        ("4,8", "parallel", 2.667),
        ("4,4,4", "parallel", 1.333),
        ("4,4,4,4", "series-parallel", 4),
        ("2,2,4,4", "series-parallel", 2.667),
        ("8", "series", 8),
    ],
)
def test_load_is_that_of_the_textbook_circuit(impedances, wiring, ohm):
    assert load(impedances, wiring).values["load_ohm"] == ohm


def test_three_in_each_string_make_nine_speakers_one_of_them():
    # Textbook: a square of equal resistors has the resistance of one.
    worked = load(",".join(["4"] * 9), "series-parallel", in_each_string="3")
    assert worked.values["load_ohm"] == 4


@pytest.mark.parametrize(
    ("volts", "watts"),
    # Ideal sine, V² ÷ R with the RMS of 12.0, 13.8 and 14.4 V peak, worked by hand: bridged into
    # 4 Ω 18.0, 23.8 and 25.9 W.
    [("8.4853", 18.0), ("9.7581", 23.8), ("10.1823", 25.9), ("14.4", 51.8)],
)
def test_power_is_volts_squared_over_the_load(volts, watts):
    assert load("4", "series", volts=volts).values["power_w"] == watts


def test_half_the_impedance_takes_twice_the_power_of_an_output_of_fixed_voltage():
    # 100 W into 4 Ω is 20 V, and 20 V across 2 Ω is 200 W: Ohm's law by hand.
    worked = load("4,4", "parallel", watts="100", lowest_ohm="4")
    assert worked.values["power_w"] == 200
    assert worked.values["most_each_w"] == 100


def test_in_series_the_higher_impedance_takes_most():
    # 12 V across 4 + 8 Ω is 1 A: 4 W and 8 W, by hand.
    worked = load("4,8", "series", volts="12")
    assert (worked.values["power_w"], worked.values["most_each_w"]) == (12, 8)


def test_the_sentence_tells_the_power_where_it_was_wanted():
    """A step asks whether “that power” is no more than a leaflet's, and none was told before it."""
    # 24.5 V across 2 Ω is 300 W, by Ohm's law: 300.125.
    worked = load("4,4", "parallel", lowest_ohm="2", volts="24.5")
    assert worked.because == (
        "2 Ω is at least 2 Ω, so the output may see it, and gives them 300.1 W together."
    )
    assert load("4,4", "series").because == "8 Ω is at least 4 Ω, so the output may see it."


def test_load_below_the_lowest_is_bad_and_on_it_good():
    assert load("4,4", "parallel", lowest_ohm="2").verdict == "good"
    assert load("4,4", "parallel", lowest_ohm="2.1").verdict == "bad"


@pytest.mark.parametrize(
    ("impedances", "strings"), [("4,4,4", "2"), ("4,4", "2"), ("4,4,4,4", "3"), ("4,4,4,4", "2.5")]
)
def test_strings_that_do_not_come_out_even_are_refused(impedances, strings):
    with pytest.raises(ValueError, match="in_each_string"):
        load(impedances, "series-parallel", in_each_string=strings)


def test_volts_and_watts_together_are_refused():
    with pytest.raises(ValueError, match="volts and watts came together"):
        load("4", "series", volts="10", watts="10")


def test_shown_line_holds_the_numbers_of_the_sum():
    assert load("4,8,4,8", "series-parallel", volts="12").shown == (
        "1 ÷ (1 ÷ (4 + 8) + 1 ÷ (4 + 8)) = 6 Ω; 12² ÷ load = 24 W"
    )


@given(SPEAKERS, st.randoms())
def test_order_does_not_matter_in_series_or_in_parallel(speakers, chance):
    shuffled = list(speakers)
    chance.shuffle(shuffled)
    for wiring in ("series", "parallel"):
        assert load(",".join(speakers), wiring).results == load(",".join(shuffled), wiring).results


@given(SPEAKERS)
def test_parallel_is_at_most_the_least_and_series_at_least_the_most(speakers):
    numbers = [Decimal(each) for each in speakers]
    together = load(",".join(speakers), "parallel").results["load_ohm"]
    assert Decimal(together) <= min(numbers)
    assert Decimal(load(",".join(speakers), "series").results["load_ohm"]) >= max(numbers)


def test_the_wiring_is_named_by_what_it_is_and_not_by_one_way_of_it():
    """A card said “Series-parallel: strings …: parallel” of coils that are in parallel."""
    [wiring] = [each for each in kind_of("speaker-load").inputs if each.name == "wiring"]
    assert wiring.description.startswith("How they are joined; ")
