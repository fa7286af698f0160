"""The bytes that are hashed, against RFC 8785: its own samples, and an independent library.

Library: rfc8785 0.1.4 from the package index, Apache licence. Samples: RFC 8785, sections 3.2.2 to
3.2.4 and appendix B, as far as the subset goes that is hashed here (no floats, ASCII keys).
"""

import hashlib
import json
from typing import Any

import pytest
import rfc8785
from bay import Bay
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.events.chain import LARGEST_INTEGER, canonical, fingerprint, hash_event

# RFC 8785, section 3.2.2 (input) and 3.2.4 (bytes), without its member of floats.
SAMPLE = {
    "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
    "literals": [None, True, False],
}
SAMPLE_BYTES = bytes.fromhex(
    "7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c"
    "22737472696e67223a22e282ac245c75303030665c6e412742"
    "5c225c5c5c5c5c222f227d"
)


def test_the_sample_of_the_rfc_gives_the_bytes_of_the_rfc() -> None:
    assert canonical(SAMPLE) == SAMPLE_BYTES
    assert rfc8785.dumps(SAMPLE) == SAMPLE_BYTES


@pytest.mark.parametrize(
    ("text", "escaped"),
    [
        # RFC 8785, section 3.2.2.2: the two-character escapes, the rest of C0 in small hex digits
        ("\b\t\n\f\r", b'"\\b\\t\\n\\f\\r"'),
        ("\x00\x1f", b'"\\u0000\\u001f"'),
        ('"\\', b'"\\"\\\\"'),
        # everything else stands as it is
        ("/\x7f\u2028\u20ac", '"/\x7f\u2028\u20ac"'.encode()),
    ],
)
def test_text_is_escaped_as_the_rfc_says(text: str, escaped: bytes) -> None:
    assert canonical({"a": text}) == b'{"a":' + escaped + b"}"


def test_keys_are_sorted_by_code_point_and_nothing_is_spaced() -> None:
    """RFC 8785, section 3.2.3; for ASCII keys its UTF-16 order is the order of code points."""
    assert canonical({"b": 1, "a": [1, {"d": 2, "C": 3}], "1": 0}) == (
        b'{"1":0,"a":[1,{"C":3,"d":2}],"b":1}'
    )


@pytest.mark.parametrize("number", [0, -1, 1, 2**53 - 1, -(2**53 - 1)])
def test_whole_numbers_stand_in_plain_digits_up_to_the_largest(number: int) -> None:
    assert canonical({"n": number}) == rfc8785.dumps({"n": number}) == b'{"n":%d}' % number
    assert abs(number) <= LARGEST_INTEGER


def test_the_largest_number_is_the_largest_of_the_library_too() -> None:
    with pytest.raises(rfc8785.IntegerDomainError):
        rfc8785.dumps({"n": LARGEST_INTEGER + 1})


SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-LARGEST_INTEGER, LARGEST_INTEGER)
    | st.text(st.characters(exclude_categories=["Cs"]))
)
KEYS = st.text(st.characters(max_codepoint=127), max_size=8)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(KEYS, inner, max_size=5),
    max_leaves=20,
)


@given(st.dictionaries(KEYS, VALUES, max_size=6))
def test_any_value_of_the_subset_gives_the_bytes_of_the_library(value: dict[str, Any]) -> None:
    assert canonical(value) == rfc8785.dumps(value)
    assert json.loads(canonical(value)) == value


def test_the_hash_is_the_sha256_of_the_event_without_its_hash() -> None:
    for event in Bay().walk("odometer").events:
        raw = event.as_dict()
        rest = {name: value for name, value in raw.items() if name != "hash"}
        expected = hashlib.sha256(rfc8785.dumps(rest)).hexdigest()
        assert raw["hash"] == event.hash == hash_event(raw) == expected


def test_each_event_is_tied_to_the_one_before() -> None:
    """R59."""
    walked = Bay().walk().events
    assert [event.prev for event in walked[1:]] == [event.hash for event in walked[:-1]]


def test_a_fingerprint_is_sixty_four_bits_in_four_groups() -> None:
    assert fingerprint("0123456789abcdef" + "f" * 48) == "0123-4567-89ab-cdef"
