"""Units on entry against a reference library and NIST's factors, there and back."""

import subprocess
import sys
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import WrongInput, work
from baycompanion.trade.units import UNITS, converted, rounded, unit_of

REFERENCE = pint.UnitRegistry()

LENGTHS = {"in": "inch", "ft": "foot", "mil": "thou", "cm": "cm", "m": "m", "yd": "yard"}
CURRENTS = {"A": "ampere", "µA": "microampere", "kA": "kiloampere"}
TORQUES = {"lbf.in": "lbf*inch", "lbf ft": "lbf*foot", "kgf·m": "kgf*m", "in-lb": "lbf*inch"}

# Source: NIST SP 811, Appendix B: each typed text is that many of the unit of the name.
NIST = [
    ("length_m", "1 ft", "0.3048"),
    ("length_m", "1 yd", "0.9144"),
    ("original_mm", "1 in", "25.4"),
    ("spacer_mm", "1 mil", "0.0254"),
    ("makers_torque_nm", "1 lbf.ft", "1.355818"),
    ("makers_torque_nm", "1 lbf.in", "0.1129848"),
    ("makers_torque_nm", "1 kgf.m", "9.80665"),
    ("makers_torque_nm", "10 ozf.in", "0.07061552"),
    ("temperature_c", "68 °F", "20"),
    ("temperature_c", "293.15 K", "20"),
    ("watts", "1 hp", "745.6999"),
    ("area_mm2", "1000 cmil", "0.5067075"),
]
# Written by hand from the prefixes of the SI and the definitions of the hour and of percent.
BENCH = [
    ("draw_ma", "0.05 A", "50"),
    ("current_a", "50 mA", "0.05"),
    ("current_a", "50mA", "0.05"),
    ("drop_mv", "0,35 V", "350"),
    ("spacer_mm", "3/4 in", "19.05"),
    ("spacer_mm", '3/4"', "19.05"),
    ("original_mm", "1 3/4 in", "44.45"),
    ("original_mm", "1-3/4 in", "44.45"),
    ("spacer_mm", "1/3", "0.333333333"),
    ("spacer_mm", "1,9 cm", "19"),
    ("length_m", "10.5'", "3.2004"),
    ("battery_ah", "60000 mAh", "60"),
    ("hours_at_rest", "30 min", "0.5"),
    ("hours_at_rest", "1 d", "24"),
    ("share_usable", "40 %", "0.4"),
    ("temperature_c", "−4 °F", "-20"),
    ("temperature_c", "68 F", "20"),
    ("area_mm2", "2 mm^2", "2"),
    ("area_mm2", "0.02 cm²", "2"),
    ("makers_torque_nm", "4 Nm", "4"),
    ("lowest_ohm", "0.004 kohm", "4"),
    ("lowest_ohm", "0.004 kΩ", "4"),
    ("makers_torque_nm", "400 N\n cm", "4"),
    *[
        ("lowest_ohm", f"4 {ohm}", "4")
        for ohm in ("ohm", "Ohm", "Ohms", "OHM", "R", "\N{OHM SIGN}")
    ],
    *[("lowest_ohm", f"4000 {ohm}", "4") for ohm in ("mOhm", "mohms", "mR", "mΩ")],
    *[("temperature_c", f"20 {spelt}", "20") for spelt in ("degC", "deg C", "DEGC", "ºC", "℃")],
    ("temperature_c", "68 deg F", "20"),
    ("area_mm2", "2 MM2", "2"),
    ("battery_ah", "60000000 uAh", "60"),
]

FIELDS = {
    "wire-drop": {"current_a": "1", "length_m": "1", "area_mm2": "2", "temperature_c": "20"},
    "screw-length": {"original_mm": "60", "spacer_mm": "0", "diameter_mm": "5", "into": "steel"},
    "key-off": {"draw_ma": "35", "battery_ah": "60", "share_usable": "0.4"},
    "return-path": {"drop_mv": "35", "current_a": "10"},
    "battery-rest": {"volts": "12.6", "kind": "agm", "temperature_c": "20", "hours_at_rest": "9"},
    "screw-torque": {"diameter_mm": "5", "property_class": "8.8", "makers_torque_nm": "4"},
    "speaker-load": {"impedances_ohm": "4", "wiring": "series", "lowest_ohm": "4", "watts": "9"},
}


def read(field: str, text: str) -> Decimal:
    """Return what a sum that has the field takes the text for."""
    name, given = next((name, given) for name, given in FIELDS.items() if field in given)
    return Decimal(work(name, {**given, field: text}).inputs[field])


def refusal(name: str, field: str, text: str) -> str:
    with pytest.raises(ValueError) as caught:
        work(name, {**FIELDS[name], field: text})
    return str(caught.value)


@pytest.mark.parametrize(("field", "text", "number"), NIST)
def test_unit_is_converted_by_the_factor_of_nist(field, text, number):
    assert float(read(field, text)) == pytest.approx(float(number), rel=1e-6)


@pytest.mark.parametrize(("field", "text", "number"), BENCH)
def test_text_of_the_bench_is_read_exactly(field, text, number):
    assert read(field, text) == Decimal(number)


@pytest.mark.parametrize(
    ("name", "field", "text", "said"),
    [
        ("wire-drop", "current_a", "3 mm", "mm is a length, and current_a is a current in A"),
        ("wire-drop", "current_a", "3 V", "V is a voltage, and current_a is a current in A"),
        ("wire-drop", "length_m", "3 mm2", "mm2 is an area, and length_m is a length in m"),
        ("wire-drop", "length_m", "12 AWG", "AWG is a gauge, and length_m is a length in m"),
        ("wire-drop", "awg", "12 mm", "mm is a length, and awg is a gauge or an area in mm²"),
        ("key-off", "battery_ah", "60 A", "A is a current, and battery_ah is a charge in Ah"),
        ("key-off", "share_usable", "40 V", "V is a voltage, and share_usable is a plain number"),
        ("screw-torque", "makers_torque_nm", "4 N", "N is a force, and makers_torque_nm is a"),
        ("return-path", "drop_mv", "3 furlong/s", ""),
        ("return-path", "drop_mv", "3 rpm", "rpm is "),
        ("return-path", "drop_mv", "3 N  m", "N m is a torque, and drop_mv is a voltage in mV."),
    ],
)
def test_unit_of_another_quantity_is_refused_by_name(name, field, text, said):
    message = refusal(name, field, text)
    assert message.startswith(f"{field} cannot be “{text}”: {said}")
    assert message.endswith(".")


@pytest.mark.parametrize(
    "text", ["5 xyz", "5 m m m m**9", "5 A/0", "1e9999 mm", "5 __import__", "1/0"]
)
def test_what_is_no_unit_is_refused_with_what_to_type(text):
    assert ": type a number from 0 to 20 in mm" in refusal("screw-length", "spacer_mm", text)


@pytest.mark.parametrize("text", ["5 yottamile", "999999999 parsec", "5 quettameter"])
def test_number_that_is_huge_in_the_fields_unit_is_refused(text):
    assert "type a number from 0 to 20 in mm" in refusal("screw-length", "spacer_mm", text)


@pytest.mark.parametrize("unit", sorted({unit.symbol for unit in UNITS.values()} - {"AWG", "days"}))
def test_every_unit_shown_can_be_typed(unit):
    name = next(name for name, each in UNITS.items() if each.symbol == unit)
    assert converted(Decimal(3), unit, UNITS[name], name) == 3


@pytest.mark.parametrize(
    ("name", "symbol"),
    [("current_a", "A"), ("torque_lbf_in", "lbf in"), ("volts", "V"), ("cap_min_cmil", "cmil")],
)
def test_name_tells_its_unit(name, symbol):
    unit = unit_of(name)
    assert unit is not None
    assert unit.symbol == symbol


def test_name_without_a_unit_has_none():
    assert unit_of("share_usable") is None


def one_of(units: dict[str, str]):
    return st.sampled_from(sorted(units.items()))


@given(
    st.decimals("0.001", "1000", places=3),
    st.one_of(
        st.tuples(one_of(LENGTHS), st.just(("mm", "mm"))),
        st.tuples(one_of(CURRENTS), st.just(("ma", "mA"))),
        st.tuples(one_of(TORQUES), st.just(("nm", "N*m"))),
    ),
)
def test_conversion_agrees_with_the_reference_library(number, units):
    (typed, reference), (name, own) = units
    found = converted(number, typed, UNITS[name], name)
    expected = REFERENCE.Quantity(float(number), reference).to(own).magnitude
    assert float(found) == pytest.approx(expected, rel=1e-12)


@given(
    st.decimals("0.001", "100000", places=6),
    st.sampled_from(
        [("mm", "in"), ("m", "ft"), ("a", "mA"), ("nm", "lbf.in"), ("w", "hp"), ("hours", "min")]
    ),
)
def test_there_and_back_is_the_same_number(number, units):
    name, other = units
    own = UNITS[name]
    # As many of the other unit as one of our own is; then back by the conversion under test.
    there = number / converted(Decimal(1), other, own, name)
    assert abs(converted(there, other, own, name) / number - 1) < Decimal("1e-24")
    assert rounded(converted(there, other, own, name)) == rounded(number)


def test_no_unit_that_the_library_knows_raises_anything_else():
    for name in sorted(REFERENCE._units):
        for field, sum_name in (("current_a", "wire-drop"), ("share_usable", "key-off")):
            for text in (f"3 {name}", f"3 {name}.{name}"):
                try:
                    work(sum_name, {**FIELDS[sum_name], field: text})
                except ValueError as error:
                    assert type(error) is WrongInput
                    assert str(error).startswith(f"{field} cannot be “")


@given(st.text(max_size=12))
def test_any_text_after_a_number_gives_a_number_or_one_refusal(text):
    try:
        work("wire-drop", {**FIELDS["wire-drop"], "current_a": "3 " + text})
    except ValueError as error:
        assert type(error) is WrongInput


def test_library_is_loaded_only_when_another_unit_is_typed():
    code = (
        "import sys\n"
        "from baycompanion.trade.catalogue import work\n"
        "given = {'battery_ah': '60 Ah'}\n"
        "work('key-off', {**given, 'draw_ma': '35 mA'})\n"
        "assert 'pint' not in sys.modules\n"
        "work('key-off', {**given, 'draw_ma': '0.035 A'})\n"
        "assert 'pint' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
