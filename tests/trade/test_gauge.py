"""Gauges against published copper tables and the formula's own table."""

from decimal import Decimal

import pytest

from baycompanion.trade.gauge import (
    area_cmil,
    area_mm2,
    diameter_mil,
    gauge_number,
    mm2_in_cmil,
    written_gauge,
)

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


def test_vehicle_wire_holds_no_less_than_nine_tenths_of_the_formula():
    # Source: Wire / Conductor Sizes, sportsmensmarine.com/archives/1034 (SAE sizes).
    sae = {"18": 1537, "16": 2336, "14": 3702, "12": 5833, "10": 9343}
    # Allow 0.7 %: the thickest sizes hold a hair less than nine tenths.
    assert all(area / area_cmil(awg) > Decimal("0.893") for awg, area in sae.items())


@pytest.mark.parametrize(
    ("typed", "number", "usual"),
    [("18", 18, "18"), ("08", 8, "8"), ("0", 0, "1/0"), ("00", -1, "2/0"), ("0000", -3, "4/0")],
)
def test_gauge_is_read_in_every_usual_spelling(typed, number, usual):
    assert gauge_number(typed) == number == gauge_number(usual)
    assert written_gauge(typed) == usual


@pytest.mark.parametrize(
    ("awg", "mm2"),
    # Source: the gauge's definition and the inch, computed apart from this code with Python floats;
    # 2.08 mm² for 14 AWG and 3.31 mm² for 12 AWG stand in every published copper table.
    [("4/0", "107.219"), ("0", "53.475"), ("12", "3.3088"), ("14", "2.0809"), ("22", "0.3255")],
)
def test_area_in_square_millimetres_agrees_with_the_definition(awg, mm2):
    assert abs(area_mm2(awg) / Decimal(mm2) - 1) < Decimal("0.0002")


@pytest.mark.parametrize("awg", ["4/0", "1/0", "4", "18", "22", "40"])
def test_area_there_and_back_is_the_same_number(awg):
    assert mm2_in_cmil(area_mm2(awg)) == area_cmil(awg)
