"""Fuses against a published table of colours, worked loads and the wire they protect."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import work
from baycompanion.trade.fuses import RATINGS_A

# Source: Automotive Fuse ID, onallcylinders.com/?p=69909 (1 to 35 A); 40 A is from memory. The page
# calls 35 A aqua and 25 A clear; ISO 8820-3's own table was not read.
COLOURS = {
    "1": "black",
    "2": "grey",
    "3": "violet",
    "4": "pink",
    "5": "tan",
    "7.5": "brown",
    "10": "red",
    "15": "blue",
    "20": "yellow",
    "25": "clear",
    "30": "green",
    "35": "blue-green",
    "40": "orange",
}
# Source: 33 CFR 183.425, Table 5, 80 °C (federal.elaws.us/cfr/title-33).
CARRIES = {"18": 15, "16": 20, "14": 25, "12": 35, "10": 50, "8": 70, "6": 100, "4": 130}


def fuse(load: object, awg: str = "4/0", **more: str):
    return work("fuse-size", {"continuous_a": f"{load}", "awg": awg, **more})


@pytest.mark.parametrize(
    ("load", "rating"),
    # Source: formulafactory.tools and ukmotorfactors.co.uk (load at most 80 % of the rating, next
    # rating made); worked by hand. 600 W at 12 V is an example of the second, which skips 70 A.
    [("8", 10), ("8.1", 15), ("12", 15), ("24", 30), ("50", 70), ("5.9", 7.5)],
)
def test_continuous_load_takes_the_next_rating_over_five_quarters_of_it(load, rating):
    assert fuse(load).values["fuse_a"] == rating


def test_intermittent_load_may_come_up_to_the_rating():
    # Common practice, no source.
    assert fuse("10", duty="intermittent").values["fuse_a"] == 10
    assert fuse("10.1", duty="intermittent").values["fuse_a"] == 15


@pytest.mark.parametrize(("rating", "colour"), COLOURS.items())
def test_colour_is_that_of_the_published_table(rating, colour):
    assert fuse(rating, duty="intermittent").values == {
        "fuse_a": float(rating),
        "colour": colour,
    }


def test_link_has_no_colour():
    assert fuse("60", duty="intermittent").values == {"fuse_a": 60, "colour": None}


@pytest.mark.parametrize(("awg", "amperes"), CARRIES.items())
def test_fuse_is_never_larger_than_the_wire_carries(awg, amperes):
    largest = max(rating for rating in RATINGS_A if rating <= amperes)
    assert fuse(largest, awg, duty="intermittent").values["fuse_a"] == largest
    worked = fuse(amperes + 1, awg, duty="intermittent")
    assert (worked.verdict, worked.values["fuse_a"]) == ("bad", None)


def test_conflict_names_the_wire_that_would_do():
    # 20 A ÷ 0.8 = 25 A wants 14 AWG by Table 5; 18 AWG carries 15 A.
    because = fuse("20", "18").because
    assert because == (
        "No fuse does: 20 A wants 25 A, and 18 AWG may carry 15 A, so take 14 AWG or thicker."
    )


def test_wire_finer_than_the_table_gets_no_fuse():
    assert "finer than the table" in fuse("0.5", "24").because


def test_load_beyond_every_fuse_is_told_to_be_split():
    assert "split the load" in fuse("320").because


def test_ratings_grow():
    assert list(RATINGS_A) == sorted(set(RATINGS_A))


@given(st.decimals("0.1", "320", places=1), st.sampled_from(sorted(CARRIES)))
def test_named_fuse_carries_the_load_and_protects_the_wire(load, awg):
    worked = fuse(load, awg)
    rating = worked.values["fuse_a"]
    if worked.verdict == "good":
        assert load * 10 <= Decimal(str(rating)) * 8
        assert rating <= CARRIES[awg]
    else:
        assert rating is None
