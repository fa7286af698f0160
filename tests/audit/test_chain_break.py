"""Whatever is done to a chain of lines, the first break is found, and named as what it is."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.audit.chains.chain_break import Break, first_break, read_link
from baycompanion.job.events.chain import FIRST_PREV, canonical, hash_event

COUNT = 8


def chain(first: int = 1, prev: str = FIRST_PREV, said: str = "x") -> list[bytes]:
    """Return lines that are tied to each other, up to number `COUNT`."""
    lines = []
    for seq in range(first, COUNT + 1):
        raw = {"seq": seq, "data": {"said": f"{said} {seq}"}, "prev": prev}
        prev = hash_event(raw)
        lines.append(canonical({**raw, "hash": prev}))
    return lines


LINES = chain()
PLACES = st.integers(0, COUNT - 1)


def broken(lines: list[bytes]) -> Break:
    """Return the break in `lines`, of which there has to be one."""
    found = first_break(iter(lines))
    assert found is not None
    return found


def test_a_whole_chain_has_no_break() -> None:
    assert first_break(LINES) is None
    assert first_break([]) is None


@given(data=st.data(), place=PLACES, flip=st.integers(1, 255))
def test_any_changed_byte_is_found_in_its_line(data: st.DataObject, place: int, flip: int) -> None:
    line = bytearray(LINES[place])
    line[data.draw(st.integers(0, len(line) - 1))] ^= flip
    lines = [*LINES[:place], bytes(line), *LINES[place + 1 :]]
    found = broken(lines)
    assert (found.how, found.line, found.numbers) == ("changed", place + 1, (place + 1,))


@given(place=st.integers(0, COUNT - 2), many=st.integers(1, 3))
def test_lines_taken_out_before_the_end_are_missing(place: int, many: int) -> None:
    after = min(place + many, COUNT - 1)
    found = broken([*LINES[:place], *LINES[after:]])
    assert (found.how, found.line) == ("missing", place + 1)
    assert found.numbers == tuple(range(place + 1, after + 1))


@given(place=PLACES)
def test_a_line_that_stands_twice_is_extra(place: int) -> None:
    found = broken([*LINES[: place + 1], *LINES[place:]])
    assert (found.how, found.line, found.numbers) == ("extra", place + 2, (place + 1,))


@given(place=PLACES, again=PLACES)
def test_a_line_that_stands_again_anywhere_later_is_extra(place: int, again: int) -> None:
    place, again = min(place, again), max(place, again)
    found = broken([*LINES[: again + 1], LINES[place], *LINES[again + 1 :]])
    assert (found.how, found.line, found.numbers) == ("extra", again + 2, (place + 1,))


@given(one=PLACES, other=PLACES)
def test_two_lines_that_were_swapped_are_reordered(one: int, other: int) -> None:
    first, second = min(one, other), max(one, other)
    lines = list(LINES)
    lines[first], lines[second] = lines[second], lines[first]
    if first == second:
        assert first_break(lines) is None
        return
    found = broken(lines)
    assert (found.how, found.line) == ("reordered", first + 1)
    assert found.numbers == (first + 1, second + 1)


@given(place=st.integers(1, COUNT - 1))
def test_a_line_written_anew_with_its_hash_is_not_tied(place: int) -> None:
    forged = chain(place + 1, prev="ab" * 32)[0]
    found = broken([*LINES[:place], forged, *LINES[place + 1 :]])
    assert (found.how, found.numbers) == ("changed", (place, place + 1))


def test_a_first_line_that_is_tied_to_something_is_named() -> None:
    found = broken(chain(prev="ab" * 32))
    assert (found.how, found.numbers) == ("changed", (1,))
    assert "tied to nothing" in found.why


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (b"{", "no {} any more"),
        (b"[]", "no {} any more"),
        (b'{"seq":1}', "no {} any more"),
        (b"[" * 100_000, "no {} any more"),
        (LINES[0].replace(b"x 1", b"y 1"), "its hash does not fit what it says"),
        (LINES[0].replace(b":", b": "), "written otherwise"),
        (LINES[0].replace(b'{"data"', b'{"seq":9,"data"'), "written otherwise"),
    ],
)
def test_why_a_line_counts_as_changed_is_told(line: bytes, why: str) -> None:
    found = broken([line, *LINES[1:]])
    assert found.how == "changed"
    assert why in found.why


def test_a_chain_written_anew_from_start_to_end_holds() -> None:
    """What the README says that a chain by itself cannot show."""
    assert first_break(chain(said="another story")) is None


def test_a_number_far_beyond_names_no_more_than_a_thousand(tmp_path: Path) -> None:
    raw = {"seq": 2**50, "prev": FIRST_PREV}
    found = broken([canonical({**raw, "hash": hash_event(raw)})])
    assert (found.how, len(found.numbers)) == ("missing", 1000)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.text('",:hash\\\\{}0', max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["hash", "a", "z"]), inner, max_size=3)
    ),
    max_leaves=8,
)


@given(data=JSON, kind=JSON, right=st.booleans(), moved=st.booleans())
def test_a_line_is_whole_exactly_when_its_hash_fits_and_it_is_canonical(
    data: object, kind: object, right: bool, moved: bool
) -> None:
    """Whatever is in it: the hash is cut out of the bytes, and the definition is another."""
    raw = {"seq": 1, "prev": FIRST_PREV, "data": data, "kind": kind}
    raw["hash"] = hash_event(raw) if right else "0" * 64
    line = canonical(raw) if not moved else canonical(raw).replace(b'"seq":1', b'"seq": 1')
    whole = raw["hash"] == hash_event(raw) and canonical(raw) == line
    assert read_link(line) == (raw if whole else None)
