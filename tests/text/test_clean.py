"""Text from outside: what is taken out, what is put right, and what stays as it is."""

import json
import unicodedata
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.text.clean import REPLACEMENT, clean, clean_line, clean_sentence, json_is_clean

# Unicode Standard Annex 9 lists the characters that turn the direction of text.
BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
SAFE = st.characters(exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"))


@given(st.text())
def test_cleaning_twice_changes_nothing_more(text: str) -> None:
    assert clean(clean(text)) == clean(text)
    assert clean_line(clean_line(text)) == clean_line(text)


@given(st.text(alphabet=st.characters(categories=("Cc", "Cf", "Cs", "Zl", "Zp", "Lu"))))
def test_no_control_code_or_change_of_direction_is_left(text: str) -> None:
    for sign in clean(text):
        assert sign == "\n" or unicodedata.category(sign) not in ("Cc", "Cs", "Zl", "Zp")
        assert sign not in BIDI


@given(st.text(alphabet=SAFE))
def test_text_without_them_stays_as_it_is_in_its_composed_form(text: str) -> None:
    assert clean(text) == unicodedata.normalize("NFC", text)


ODD = st.text('a"\\/ubn\b\f\r\t\x00\x1b\x7f\x9b\u00a0\u202e\u2028é的', max_size=8)
JSON = st.recursive(ODD, lambda of: st.lists(of) | st.dictionaries(ODD, of), max_leaves=6)


def texts_in(value: object) -> Iterator[str]:
    """Yield every text in a value of JSON."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from value
        yield from texts_in(list(value.values()))
    elif isinstance(value, list):
        for each in value:
            yield from texts_in(each)


@given(JSON)
def test_json_is_clean_where_each_text_in_it_is(value: object) -> None:
    """Written by the standard library, which escapes what RFC 8259 says must be, and no more."""
    content = json.dumps(value, ensure_ascii=False).encode()
    signs = "".join(texts_in(value))
    odd = ("Cc", "Cs", "Zl", "Zp")
    shows = all(unicodedata.category(each) not in odd and each not in BIDI for each in signs)
    assert json_is_clean(content) is shows


def test_what_is_no_utf_8_is_no_json() -> None:
    with pytest.raises(ValueError, match="utf-8"):
        json_is_clean(b'"\x9b"')


@given(st.lists(st.text(alphabet=SAFE)), st.sampled_from(["\x1b", "\x07", "\x9b", *BIDI]))
def test_what_is_taken_out_leaves_a_sign_and_takes_nothing_with_it(
    parts: list[str], unsafe: str
) -> None:
    assert clean(unsafe.join(parts)) == unicodedata.normalize("NFC", REPLACEMENT.join(parts))


@pytest.mark.parametrize(
    ("given_text", "cleaned"),
    [
        ("a\r\nb\rc\u2028d\u2029e\x85f", "a\nb\nc\nd\ne\nf"),
        ("a\tb", "a    b"),
        ("\x1b]0;title\x07", f"{REPLACEMENT}]0;title{REPLACEMENT}"),
        ("e\u0301", "\u00e9"),
        ("12.6 V", "12.6 V"),
        ("[b]$x[/b] [/] \\[", "[b]$x[/b] [/] \\["),
    ],
)
def test_cleaning_puts_line_ends_and_tabs_right(given_text: str, cleaned: str) -> None:
    assert clean(given_text) == cleaned


def test_one_line_has_single_spaces_and_no_line_ends() -> None:
    assert clean_line("  one\n two\t three  ") == "one two three"


def test_a_sentence_stays_one_line_and_keeps_its_spaces() -> None:
    r"""A file called `x\nNo findings.` would else write a line of its own."""
    assert clean_sentence("a  b\nNo findings.\r\u2028c") == "a  b�No findings.��c"
