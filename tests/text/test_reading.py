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
