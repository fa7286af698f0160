"""A whole line that was changed, moved, doubled or taken out is found, and named by its number."""

from pathlib import Path

import pytest
from bay import LISTS, START, T1
from on_disk import walked_on_disk

from baycompanion.job.events.chain import canonical
from baycompanion.job.events.event import seal
from baycompanion.job.events.kinds import Noted
from baycompanion.store.job.journal import NAME, read_journal
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.trouble import StoreTrouble


def trouble_with(path: Path, content: bytes) -> str:
    """Return what reading a journal of that content says."""
    path.write_bytes(content)
    with pytest.raises(StoreTrouble) as trouble:
        read_journal(path)
    return str(trouble.value)


@pytest.mark.parametrize("flip", [0x01, 0x20, 0x80])
def test_any_flipped_byte_in_a_whole_line_is_found_and_its_line_named(
    folder: Path, tmp_path: Path, flip: int
) -> None:
    """R56, R59. The end of the last line is the exception: without it the line is torn."""
    content = walked_on_disk(folder, "tools")
    path = tmp_path / "flipped.jsonl"
    for place in range(len(content) - 1):
        changed = bytearray(content)
        changed[place] ^= flip
        number = content.count(b"\n", 0, place) + 1
        said = trouble_with(path, bytes(changed))
        assert said.startswith(f"{path}:{number}: "), (place, said)
        assert said.endswith("The journal was damaged; keep it for the audit.")


def test_the_last_line_without_its_end_is_torn_and_kept(folder: Path, tmp_path: Path) -> None:
    content = walked_on_disk(folder, "tools")
    path = tmp_path / "torn.jsonl"
    path.write_bytes(content[:-1] + b"x")
    held = read_journal(path)
    assert held.torn == content.splitlines()[-1] + b"x"


LINES = 8


def lines_of(folder: Path) -> list[bytes]:
    lines = walked_on_disk(folder, "ask-camera").splitlines(keepends=True)
    assert 4 < len(lines) <= LINES
    return lines


def test_lines_that_were_swapped_are_found(folder: Path, tmp_path: Path) -> None:
    lines = lines_of(folder)
    for first in range(len(lines)):
        for second in range(first + 1, len(lines)):
            swapped = list(lines)
            swapped[first], swapped[second] = lines[second], lines[first]
            said = trouble_with(tmp_path / "j", b"".join(swapped))
            assert said.startswith(f"{tmp_path / 'j'}:{first + 1}: Event “{second + 1}” stands")


def test_a_line_that_stands_twice_is_found(folder: Path, tmp_path: Path) -> None:
    lines = lines_of(folder)
    for place in range(len(lines)):
        doubled = [*lines[: place + 1], *lines[place:]]
        said = trouble_with(tmp_path / "j", b"".join(doubled))
        assert said.startswith(f"{tmp_path / 'j'}:{place + 2}: Event “{place + 1}” stands where")


def test_a_line_that_was_taken_out_is_found(folder: Path, tmp_path: Path) -> None:
    """Lines taken off the end are not: for that the fingerprint is printed and the record kept."""
    lines = lines_of(folder)
    for place in range(len(lines) - 1):
        said = trouble_with(tmp_path / "j", b"".join(lines[:place] + lines[place + 1 :]))
        assert said.startswith(f"{tmp_path / 'j'}:{place + 1}: Event “{place + 2}” stands where")


@pytest.mark.parametrize("added", [b"\n", b" \n", b"[]\n", b"{}\n", b"null\n", b"\xff\xfe\n"])
def test_a_line_that_was_put_in_is_found(folder: Path, tmp_path: Path, added: bytes) -> None:
    lines = lines_of(folder)
    for place in range(len(lines)):
        said = trouble_with(tmp_path / "j", b"".join([*lines[:place], added, *lines[place:]]))
        assert said.startswith(f"{tmp_path / 'j'}:{place + 1}: ")


JUNK = [
    b"[" * 100_000,
    b'{"a":' * 50_000,
    b'{"seq":1e999}',
    b'{"seq":NaN,"at":"","by":"","kind":"opened","data":{},"prev":"","hash":""}',
    b"9" * 10_000,
    b'"\\ud800"',
    b"\x00\x00\x00{",
]


@pytest.mark.parametrize("junk", JUNK, ids=range(len(JUNK)))
def test_junk_gets_one_sentence(folder: Path, tmp_path: Path, junk: bytes) -> None:
    lines = lines_of(folder)
    said = trouble_with(tmp_path / "j", b"".join([*lines, junk, b"\n"]))
    assert said.startswith(f"{tmp_path / 'j'}:{len(lines) + 1}: ")
    assert len(said) < len(str(tmp_path)) + 200


def test_a_line_in_another_spelling_of_the_same_json_is_read(folder: Path) -> None:
    """What is hashed is what it says, so a tool that spaced or escaped it changed nothing."""
    content = walked_on_disk(folder, "tools")
    events = read_journal(folder / NAME).events
    (folder / NAME).write_bytes(content.replace(b'","', b'" , "'))
    assert read_journal(folder / NAME).events == events


def test_a_line_with_control_codes_is_refused_even_when_its_hash_fits(folder: Path) -> None:
    """Invariant 6: the journal is a door too."""
    held = read_journal(folder / NAME)
    newest = held.events[-1]
    event = seal(Noted(words="\x1b]0;owned\x07"), "T1", START, newest.seq + 1, newest.hash)
    with (folder / NAME).open("ab") as journal:
        journal.write(canonical(event.as_dict()) + b"\n")
    with pytest.raises(StoreTrouble, match=r":2: It holds control codes"):
        OpenJob(folder, LISTS, T1, START)


def test_a_damaged_journal_is_not_touched_by_opening_it(folder: Path) -> None:
    content = walked_on_disk(folder, "tools")
    damaged = content.replace(b"Blue van", b"Grey van") + b"torn"
    (folder / NAME).write_bytes(damaged)
    for _ in range(2):
        with pytest.raises(StoreTrouble, match=r":1: It was changed after it was written"):
            OpenJob(folder, LISTS, T1, START)
    assert (folder / NAME).read_bytes() == damaged
    assert not (folder / "holder.json").exists()
