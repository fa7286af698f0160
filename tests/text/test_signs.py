"""Where a terminal lacks a sign, what stands for it is readable, and in columns as wide."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from baycompanion.text.signs import IN_COLUMNS, in_columns, in_lines

SCREENS = Path(__file__).parents[1] / "screens" / "__snapshots__"
OF_THE_TESTS = set("⟦⟧")
"""What stands round a text that is reversed; no screen has it."""
SHOWN = {
    sign for path in SCREENS.rglob("*.txt") for sign in path.read_text(encoding="utf-8")
} - OF_THE_TESTS


def test_every_sign_on_any_golden_screen_has_one_that_stands_for_it() -> None:
    drawn = sorted(sign for sign in SHOWN if not sign.isascii())
    assert len(drawn) > 30
    for sign in drawn:
        plain = in_columns(sign, "ascii")
        assert plain.isascii() and len(plain) == 1 and plain != "?", sign
        assert in_lines(sign) != "?", sign


@pytest.mark.parametrize(
    ("text", "columns", "lines"),
    [
        ("Write it down…", "Write it down~", "Write it down..."),
        ("5 ± 0.5 Nm", "5+- 0.5 Nm", "5 +/- 0.5 Nm"),
        ("below 4 Ω", "below 4 R", "below 4 ohm"),
        ("25 °C", "25  C", "25 deg C"),
        ("2.5 mm²", "2.5 mm2", "2.5 mm2"),
        ("Größe", "Gro?e", "Gro?e"),
        ("cafe\u0301", "cafe", "cafe?"),
        ("車", "??", "?"),
    ],
)
def test_words_and_numbers_stay_readable(text: str, columns: str, lines: str) -> None:
    assert in_columns(text, "ascii") == columns
    assert "".join(sign if sign.isascii() else in_lines(sign) for sign in text) == lines


def test_what_the_encoding_has_is_left_alone() -> None:
    assert in_columns("Größe · 3 ✓", "latin-1") == "Größe · 3 v"
    assert in_columns("Größe · 3 ✓", "utf-8") == "Größe · 3 ✓"


@given(some.text(alphabet=some.sampled_from([*IN_COLUMNS, "a", " ", "é", "\x1b", "\n"])))
def test_no_sign_moves_what_stands_beside_it(text: str) -> None:
    plain = in_columns(text, "ascii")
    assert plain.isascii()
    assert len(plain) == len(text)
