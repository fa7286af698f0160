"""A page goes into the place of an older one, and never of a file that somebody else needs."""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result
from test_commands import begin, one_sentence

from baycompanion.exits import Exit

Run = Callable[..., Result]

WAYS = [
    ["audit", "--html"],
    ["audit", "--phases", "--html"],
    ["map", "lamp", "--html"],
    ["map", "lamp", "--svg"],
    ["sheet", "lamp", "--to"],
    ["handover", "JOB", "--out"],
]


@pytest.mark.parametrize("words", WAYS, ids=" ".join)
@pytest.mark.parametrize("theirs", [b'{"seq":1}\n', b"<!DOCTYPE html>\n<title>A letter</title>\n"])
def test_a_file_that_is_no_page_of_ours_is_left_as_it_is(
    run: Run, tmp_path: Path, words: list[str], theirs: bytes
) -> None:
    """A slip in the name put a page in the place of a ledger."""
    file = tmp_path / "kept"
    file.write_bytes(theirs)
    told = one_sentence(run(*_typed(run, words), str(file)), Exit.TROUBLE)
    assert told.startswith(f"{file} is there already, and is no page of this program.")
    assert file.read_bytes() == theirs


@pytest.mark.parametrize("words", WAYS, ids=" ".join)
def test_an_older_page_and_an_empty_file_are_replaced(
    run: Run, tmp_path: Path, words: list[str]
) -> None:
    file, typed = tmp_path / "page", _typed(run, words)
    file.touch()
    assert run(*typed, str(file)).exit_code == Exit.DONE
    once = file.read_bytes()
    file.write_bytes(once + b"<!-- of yesterday -->")
    assert run(*typed, str(file)).exit_code == Exit.DONE
    assert not file.read_bytes().endswith(b"<!-- of yesterday -->")


def _typed(run: Run, words: list[str]) -> list[str]:
    return [begin(run) if word == "JOB" else word for word in words]
