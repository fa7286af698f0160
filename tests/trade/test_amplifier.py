"""Amplifier currents against published examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import work


def amplifier(watts: object, **more: str):
    return work("amplifier-current", {"watts_rms": f"{watts}", **more})


def test_current_of_a_published_example():
    # Source: a page on car sound (address left out: company name): 500 W, 85 % efficient, 12 V:
    # 588 W and 49 A; with a quarter on top 61 A, hence the next rating made, 70 A.
    worked = amplifier(500, efficiency="0.85", supply_v="12")
    assert worked.values["current_a"] == 49
    assert worked.values["fuse_a"] == 70


@pytest.mark.parametrize(
    ("amplifier_class", "watts", "current"),
    # Source: bcae1.com/wirequickreferenceprintable01.htm: current and power at 13.8 V, class AB at
    # 60 % and class D at 75 %.
    [("ab", 1084, 131), ("ab", 430, 52), ("d", 1355, 131), ("d", 537, 52)],
)
def test_current_by_class_agrees_with_the_published_table(amplifier_class, watts, current):
    worked = amplifier(watts, amplifier_class=amplifier_class, supply_v="13.8")
    assert worked.values["current_a"] == pytest.approx(current, rel=0.01)


def test_efficiency_typed_goes_before_that_of_the_class():
    assert amplifier(100, amplifier_class="d", efficiency="0.5").values["current_a"] == 16.7


def test_wire_is_protected_by_the_fuse_and_loses_no_more_than_the_limit():
    worked = amplifier(500, efficiency="0.85", length_m="5")
    awg = worked.results["awg"]
    drop = work("wire-drop", {"current_a": "49.1", "length_m": "5", "awg": awg})
    fuse = work("fuse-size", {"continuous_a": "49.1", "awg": awg})
    assert (drop.verdict, fuse.verdict) == ("good", "good")
    assert fuse.values["fuse_a"] == worked.values["fuse_a"]


def test_no_length_means_no_wire_and_is_good():
    worked = amplifier(100)
    assert (worked.verdict, worked.values["awg"]) == ("good", None)


def test_amplifier_beyond_fuse_or_wire_is_bad_and_says_so():
    assert "no fuse here carries that" in amplifier(10_000).because
    assert "no wire offered will do" in amplifier(2000, length_m="100").because


def test_shown_line_holds_the_numbers_of_the_sum():
    assert amplifier(500, efficiency="0.8").shown == (
        "500 W ÷ 0.8 ÷ 12 V = 52.1 A; ÷ 0.8 = 65.1 A, next rating 70 A"
    )


@given(st.integers(1, 3000), st.integers(1, 3000))
def test_more_watts_never_draw_less(one, other):
    low, high = sorted((one, other))
    assert amplifier(low).values["current_a"] <= amplifier(high).values["current_a"]


@given(st.integers(1, 2000), st.integers(1, 12))
def test_wire_always_carries_the_fuse(watts, metres):
    worked = amplifier(watts, length_m=f"{metres}")
    if worked.verdict == "good":
        load = f"{worked.values['fuse_a'] * 0.8:.1f}"
        assert work("fuse-size", {"continuous_a": load, "awg": worked.results["awg"]}).verdict == (
            "good"
        )
