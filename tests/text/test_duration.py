"""Lengths of time: read as people write them, written as they are read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.text.duration import (
    LONGEST,
    countdown,
    parse_duration,
    rough_duration,
    write_duration,
)


@given(st.integers(0, LONGEST))
def test_what_is_written_reads_back_the_same(seconds: int) -> None:
    assert parse_duration(write_duration(seconds)) == seconds


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("20 min", 1200),
        ("1 h 30 min", 5400),
        ("90 s", 90),
        ("1h30min", 5400),
        (" 2 h 5 s ", 7205),
        ("90 min", 5400),
        ("0 s", 0),
        ("720 h", LONGEST),
        ("30 d", LONGEST),
        ("2 d 1 h", 49 * 3600),
    ],
)
def test_a_length_of_time_is_read_in_seconds(text: str, seconds: int) -> None:
    assert parse_duration(text) == seconds


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "20",
        "min",
        "1:30",
        "20 minutes",
        "-5 min",
        "1.5 h",
        "5 min 1 h",
        "1 h 1 d",
        "5 min 5 min",
        "soon",
    ],
)
def test_anything_else_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(ValueError, match=r"no length of time\. Write it like 20 min"):
        parse_duration(text)


def test_more_than_thirty_days_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than 30 days"):
        parse_duration("720 h 1 s")


@given(st.text())
def test_any_text_is_a_length_of_time_or_refused(text: str) -> None:
    try:
        assert 0 <= parse_duration(text) <= LONGEST
    except ValueError as refusal:
        assert ". " in str(refusal)


@pytest.mark.parametrize(
    ("seconds", "rough", "counting"),
    [
        (0, "0 min", "00:00"),
        (59, "0 min", "00:59"),
        (754, "12 min", "12:34"),
        (3900, "1 h 05 min", "1:05:00"),
        (48 * 3600, "48 h 00 min", "48:00:00"),
        (48 * 3600 + 60, "2 d 0 h", "2 d 0:01:00"),
        (6445 * 3600 + 59 * 60, "268 d 13 h", "268 d 13:59:00"),
        (-3, "-1 min", "00:00"),
    ],
)
def test_clocks_show_minutes_and_countdowns_seconds(
    seconds: int, rough: str, counting: str
) -> None:
    if seconds >= 0:
        assert rough_duration(seconds) == rough
    assert countdown(seconds) == counting


@pytest.mark.parametrize(
    ("seconds", "written"),
    [
        (0, "0 s"),
        (90, "1 min 30 s"),
        (5400, "1 h 30 min"),
        (48 * 3600, "48 h"),
        (48 * 3600 + 1, "2 d 1 s"),
        (51 * 3600, "2 d 3 h"),
        (LONGEST, "30 d"),
    ],
)
def test_beyond_two_days_it_is_written_in_days_and_hours(seconds: int, written: str) -> None:
    assert write_duration(seconds) == written
