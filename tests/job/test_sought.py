"""A job is the one sought where its plate, VIN or work order holds what was typed."""

import pytest
from bay import keys_in, load_small
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.events.kinds import Opened
from baycompanion.job.state.sought import agrees, bare, differs, fits, fits_whole


def opened(
    order: str = "WO-1042", plate: str = "DEMO 42", vin: str = "00DEM0000TEST0042"
) -> Opened:
    """Return the first event of a job on such a vehicle."""
    vehicle = Vehicle(description="blue van", vin=vin, plate=plate)
    first = open_job(load_small().procedure, "", "20260302-a", keys_in(order, vehicle)).data
    assert isinstance(first, Opened)
    return first


@pytest.mark.parametrize(
    "sought", ["demo 42", "DEMO42", "de-mo", "emo4", "0000test", "TEST 0042", "wo1042", "1042"]
)
def test_a_part_of_plate_vin_or_work_order_fits(sought: str) -> None:
    assert fits(sought, opened())


@pytest.mark.parametrize("sought", ["demo 43", "42 demo", "blue", "van", "", " ", "--", "20260302"])
def test_what_stands_in_none_of_them_does_not(sought: str) -> None:
    assert not fits(sought, opened())


def test_nothing_fits_a_job_of_which_nothing_is_known_and_parts_are_not_run_together() -> None:
    assert not fits("demo", opened(plate="", vin=""))
    assert not fits("42 00", opened())


@pytest.mark.parametrize(
    ("sought", "whole"),
    [("demo42", True), ("00dem-0000 test-0042", True), ("wo 1042", True), ("demo 4", False)],
)
def test_the_whole_of_one_is_told_from_a_part_of_it(sought: str, whole: bool) -> None:
    assert fits_whole(sought, opened()) is whole
    assert fits(sought, opened())


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("DEMO 1", "demo-1", True),
        ("dé 1", "DE\N{COMBINING ACUTE ACCENT}-1", True),
        ("12", "１２", True),
        ("DEMO 1", "DEMO 11", False),
    ],
)
def test_two_plates_are_compared_by_letters_and_digits(one: str, other: str, same: bool) -> None:
    assert agrees(one, other) is same
    assert differs(one, other) is not same


@pytest.mark.parametrize("known", ["", " ", "DEMO 1"])
def test_what_is_not_known_neither_agrees_nor_differs(known: str) -> None:
    assert not agrees("", known)
    assert not differs("", known)
    assert not differs(known, " - ")


@given(st.data())
def test_however_a_plate_is_set_apart_it_fits(data: st.DataObject) -> None:
    plate = data.draw(st.text(st.characters(categories=["Lu", "Nd"]), min_size=1, max_size=8))
    apart = data.draw(
        st.lists(st.sampled_from(["", " ", "-", " - "]), min_size=len(plate), max_size=len(plate))
    )
    typed = "".join(sign + blank for sign, blank in zip(plate, apart, strict=True))
    if bare(plate):
        assert fits(typed.lower(), opened(plate=plate))
        assert fits(plate, opened(plate=typed))
