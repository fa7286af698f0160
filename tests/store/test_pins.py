"""PINs: what may be one, and that nothing but the PIN fits the line that is kept of it."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from baycompanion.store.staff.pins import hash_pin, is_kept_pin, pin_matches, why_no_pin

# RFC 7914 section 12, "Test Vectors for scrypt": the second and the third. The first has an empty
# salt, which no kept line has; the fourth takes 1 GiB.
VECTORS = [
    (
        "password",
        "NaCl",
        (1024, 8, 16),
        "fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162"
        "2eaf30d92e22a3886ff109279d9830dac727afb94a83ee6d8360cbdfa2cc0640",
    ),
    (
        "pleaseletmein",
        "SodiumChloride",
        (16384, 8, 1),
        "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"
        "d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887",
    ),
]


def line(salt: str, costs: tuple[int, int, int], key: str) -> str:
    n, r, p = costs
    return f"scrypt n={n} r={r} p={p} salt={salt.encode().hex()} key={key}"


@pytest.mark.parametrize(("secret", "salt", "costs", "key"), VECTORS)
def test_a_line_made_of_a_vector_of_the_rfc_fits_its_secret_alone(
    secret: str, salt: str, costs: tuple[int, int, int], key: str
) -> None:
    assert pin_matches(secret, line(salt, costs, key))
    assert pin_matches(secret, line(salt, costs, key[:64])), "a shorter key is its beginning"
    assert not pin_matches(secret + "x", line(salt, costs, key))
    assert not pin_matches(secret, line(salt + "x", costs, key))
    assert not pin_matches(secret, line(salt, costs, f"{int(key[0], 16) ^ 1:x}{key[1:]}"))
    n, r, p = costs
    assert not pin_matches(secret, line(salt, (2 * n, r, p), key))


SHORT, LONG = "4711", "100000000000"


@pytest.mark.parametrize("pin", [SHORT, "1122", "1357", "1243", "9080", "123123", LONG])
def test_a_pin_that_is_neither_repeated_nor_in_a_row_is_good(pin: str) -> None:
    assert why_no_pin(pin) is None


@pytest.mark.parametrize("pin", [SHORT, LONG])  # each try takes a while, as it is meant to
def test_a_good_pin_fits_the_line_that_is_kept_of_it(pin: str) -> None:
    kept = hash_pin(pin)
    assert kept.isascii()
    assert kept.isprintable()
    assert kept.startswith("scrypt n=16384 r=8 p=1 salt=")
    assert re.search("salt=([0-9a-f]+) key=([0-9a-f]+)$", kept)
    assert is_kept_pin(kept)
    assert pin_matches(pin, kept)
    for wrong in (pin + "0", pin[:-1], pin[::-1] + "1", "", f" {pin}"):
        assert not pin_matches(wrong, kept), wrong


def test_the_same_pin_is_never_kept_twice_alike() -> None:
    assert len({hash_pin("4711") for _ in range(3)}) == 3


@pytest.mark.parametrize(
    "pin", ["", "471", "4711471147114", "47 11", "4711\n", "47a1", "٤٧١١", "-471"]
)
def test_what_is_not_four_to_twelve_digits_is_no_pin(pin: str) -> None:
    assert why_no_pin(pin) == "A PIN is 4 to 12 digits and nothing else."
    with pytest.raises(ValueError, match="A PIN is 4 to 12 digits"):
        hash_pin(pin)


@pytest.mark.parametrize("pin", ["0000", "777777", "1234", "0123456789", "7890", "4321", "1098"])
def test_a_pin_that_is_guessed_first_is_refused_without_repeating_it(pin: str) -> None:
    why = why_no_pin(pin)
    assert why is not None
    assert pin == "1234" or pin not in why
    with pytest.raises(ValueError, match="guessed first"):
        hash_pin(pin)


GOOD = line("salt" * 4, (16384, 8, 1), "ab" * 32)
MALFORMED = [
    "",
    "4711",
    GOOD.upper(),
    GOOD + " ",
    GOOD + "\n",
    GOOD[:-1],
    GOOD.replace("scrypt", "bcrypt"),
    GOOD.replace("n=16384", "n=16383"),
    GOOD.replace("n=16384", "n=0"),
    GOOD.replace("n=16384", "n=1"),
    GOOD.replace("n=16384", "n=4194304"),
    GOOD.replace("n=16384", "n=99999999999"),
    GOOD.replace("r=8", "r=0"),
    GOOD.replace("r=8", "r=99"),
    GOOD.replace("p=1", "p=0"),
    GOOD.replace("p=1", "p=99"),
    GOOD.replace("p=1", "p=-1"),
    GOOD.replace("ab" * 32, "ab" * 8),
    GOOD.replace("ab" * 32, ""),
    re.sub("salt=[0-9a-f]+", "salt=", GOOD),
    re.sub("salt=[0-9a-f]+", "salt=zz", GOOD),
]


@pytest.mark.parametrize("kept", MALFORMED)
def test_a_malformed_line_fits_no_pin(kept: str) -> None:
    assert is_kept_pin(GOOD)
    assert not is_kept_pin(kept)
    assert not pin_matches("4711", kept)
    assert not pin_matches("", kept)
    assert not pin_matches(kept, kept)


@settings(max_examples=30)
@given(pin=st.text(st.characters(codec=None), max_size=30))
def test_no_text_typed_at_all_is_a_fault(pin: str) -> None:
    """Lone surrogates too: a terminal hands them over for bytes that are no UTF-8."""
    assert not pin_matches(pin, line("salt" * 4, (2, 1, 1), "ab" * 32))
