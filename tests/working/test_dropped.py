"""What terminals type when a file is dropped on them is the path of that file."""

import re
from pathlib import Path

import pytest

from baycompanion.store.trouble import StoreTrouble
from baycompanion.working.dropped import dropped_path


@pytest.mark.parametrize(
    "typed",
    [
        "{path}",
        "  {path}  ",
        "'{path}'",
        '"{path}"',
        "{escaped}",
        "file://{url}",
        "FILE://{url}",
    ],
)
def test_a_dropped_path_is_read_however_it_is_written(tmp_path: Path, typed: str) -> None:
    picture = tmp_path / "the dash (before) 50%.jpg"
    picture.write_bytes(b"x")
    escaped = str(picture).replace(" ", "\\ ").replace("(", "\\(").replace(")", "\\)")
    text = typed.format(path=picture, escaped=escaped, url=picture.as_uri().removeprefix("file://"))
    assert dropped_path(text) == picture


def test_a_path_that_is_there_with_its_backslash_is_left_alone(tmp_path: Path) -> None:
    odd = tmp_path / "a\\b.jpg"
    odd.write_bytes(b"x")
    assert dropped_path(str(odd)) == odd


@pytest.mark.parametrize("typed", ["", "'", "file:", "file://", "\\", "%ff"])
def test_what_is_no_path_is_no_trouble_here(typed: str) -> None:
    assert isinstance(dropped_path(typed), Path)


REFUSED = {
    "~nobody-of-this-name/lead.jpg": "There is no home folder for “~nobody-of-this-name/lead.jpg”.",
    "file://[2001": "“file://[2001” leads to no file. Type the path.",
    "a\0b": "is no file name. Check it.",
    "x" * 9000: f"“{'x' * 40}…” is longer than any file name. Check it.",
}


@pytest.mark.parametrize("typed", REFUSED, ids=lambda typed: repr(typed[:9]))
def test_what_no_disk_takes_is_refused_in_one_sentence(typed: str) -> None:
    with pytest.raises(StoreTrouble, match=re.escape(REFUSED[typed])):
        dropped_path(typed)
