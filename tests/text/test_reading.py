"""Readings: kept as typed, and as an exact number."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.text.reading import parse_reading, write_number

NUMBERS = st.decimals(-(10**12) + 1, 10**12 - 1, places=4, allow_nan=False, allow_infinity=False)


@given(NUMBERS)
def test_a_number_written_out_reads_back_with_every_digit(number: Decimal) -> None:
    text = write_number(number)
    again = parse_reading(f"{text} V", "V")
    assert write_number(again.number) == text
    assert again.number == number


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("12.60", "V", "12.60"),
        ("12.6 V", "V", "12.6"),
        ("12,6V", "V", "12.6"),
        ("−0.5", "A", "-0.5"),
        ("+3", "", "3"),
        ("  35  mA ", "mA", "35"),
        ("2.5 N m", "N m", "2.5"),
        ("007", "", "7"),
    ],
)
def test_a_reading_keeps_its_text_and_its_digits(text: str, unit: str, number: str) -> None:
    reading = parse_reading(text, unit)
    assert (reading.text, write_number(reading.number), reading.unit) == (
        text.strip(),
        number,
        unit,
    )


@pytest.mark.parametrize(
    ("text", "both"),
    [
        ("1,500", "1500 or 1.500"),
        (" 64,250 km ", "64250 or 64.250"),
        ("−1,500km", "-1500 or -1.500"),
    ],
)
def test_a_comma_before_three_digits_is_not_guessed_at(text: str, both: str) -> None:
    """An odometer of 1,500 km was kept as one kilometre and a half."""
    with pytest.raises(ValueError, match="can be read in two ways") as caught:
        parse_reading(text, "km")
    assert str(caught.value) == f"“{text.strip()}” can be read in two ways. Type {both}"


@pytest.mark.parametrize(
    ("text", "number"),
    [("0,125", "0.125"), ("12,60", "12.60"), ("1.500", "1.500"), ("1234,567", "1234.567")],
)
def test_a_comma_that_can_be_nothing_else_is_the_decimal_sign(text: str, number: str) -> None:
    assert write_number(parse_reading(text, "A").number) == number


@pytest.mark.parametrize(
    ("typed", "unit", "kept"),
    [
        # Names of units and what an operator may be: SI brochure, 9th edition, from memory; R for
        # ohm as on components, IEC 60062, from memory; the other spellings: common practice.
        ("4 ohm", "Ω", "4 Ω"),
        ("4 Ohm", "Ω", "4 Ω"),
        ("4ohms", "Ω", "4Ω"),
        ("4 OHMS", "Ω", "4 Ω"),
        ("4 \N{OHM SIGN}", "Ω", "4 Ω"),
        ("4 R", "Ω", "4 Ω"),
        ("0.5 mOhm", "mΩ", "0.5 mΩ"),
        ("2.5 Nm", "N m", "2.5 N m"),
        ("2.5 N·m", "N m", "2.5 N m"),
        ("2.5 N.m", "N m", "2.5 N m"),
        ("2.5 N-m", "N·m", "2.5 N·m"),
        ("2,5 mm2", "mm²", "2,5 mm²"),
        ("2.5 mm^2", "mm²", "2.5 mm²"),
        ("−20 degC", "°C", "−20 °C"),
        ("20 deg C", "°C", "20 °C"),
        ("20 C", "°C", "20 °C"),
        ("20 ºC", "°C", "20 °C"),
        ("100 uF", "\N{MICRO SIGN}F", "100 \N{MICRO SIGN}F"),
        ("100 \N{GREEK SMALL LETTER MU}F", "\N{MICRO SIGN}F", "100 \N{MICRO SIGN}F"),
        ("12.6 v", "V", "12.6 V"),
        ("35 ma", "mA", "35 mA"),
    ],
)
def test_a_unit_is_read_in_what_a_keyboard_has_and_kept_by_its_sign(
    typed: str, unit: str, kept: str
) -> None:
    """“4 ohm” was refused as not in Ω."""
    assert parse_reading(typed, unit).text == kept


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("4 kohm", "Ω"),
        ("4 mohm", "Ω"),
        ("5 MΩ", "mΩ"),
        ("5 Mohm", "mΩ"),
        ("35 MA", "mA"),
        ("20 F", "°C"),
        ("2 mm", "mm²"),
        ("2 mN", "N m"),
        ("4 ohm", "V"),
    ],
)
def test_a_spelling_of_another_unit_or_of_another_size_is_refused(typed: str, unit: str) -> None:
    with pytest.raises(ValueError, match=f"is not in {unit}. Type the number in {unit}"):
        parse_reading(typed, unit)


def test_two_readings_that_differ_in_a_last_zero_stay_apart() -> None:
    assert parse_reading("12.60", "V") != parse_reading("12.6", "V")


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("", "V", "Nothing is typed yet. Type a number in V, like 12.6"),
        ("  ", "", "Nothing is typed yet. Type a number, like 12.6"),
        ("about 12", "V", "is no number"),
        ("nan", "V", "is no number"),
        ("Infinity", "V", "is no number"),
        ("1234567890123", "V", "is no number"),
        ("12.6 A", "V", "is not in V. Type the number in V"),
        ("35 mA", "A", "is not in A"),
        ("12 000", "V", "is no number"),
        ("64 250 km", "km", "“64 250 km” is no number. Type a number in km, like 12.6"),
        ("1e3", "V", "is not in V"),
        ("12.6.3", "V", "is no number"),
        ("5 V", "", "carries a unit. Type a plain number"),
    ],
)
def test_what_is_no_reading_in_the_unit_is_refused(text: str, unit: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        parse_reading(text, unit)


@given(st.text(), st.sampled_from(["", "V", "N m"]))
def test_any_text_is_a_finite_reading_or_refused(text: str, unit: str) -> None:
    try:
        assert parse_reading(text, unit).number.is_finite()
    except ValueError as refusal:
        assert ". " in str(refusal)
