"""Paths as they are typed: what no disk takes is refused in a sentence."""

from pathlib import Path

import pytest

from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import leads_to_file, leads_to_folder, typed_path


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("~nosuchuser/shop", "There is no home folder for “~nosuchuser/shop”."),
        ("a\0b", "“a�b” is no file name. Check it."),
        ("\ud800", "“�” is no file name. Check it."),
        ("x" * 300, f"“{'x' * 40}…” is longer than any file name. Check it."),
        ("x/" * 4000, "is longer than any file name. Check it."),
    ],
)
def test_a_name_that_no_disk_takes_is_refused(typed: str, told: str) -> None:
    with pytest.raises(StoreTrouble) as caught:
        typed_path(typed)
    assert told in str(caught.value)


def test_a_path_is_taken_as_it_is_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert typed_path("~/a b") == tmp_path / "a b"
    assert typed_path("not there/at all") == Path("not there/at all")
    assert typed_path("../x") == Path("../x")


@pytest.mark.parametrize("name", ["x" * 300, "a\0b", "\ud800", "not-there"])
def test_what_no_disk_takes_leads_nowhere(tmp_path: Path, name: str) -> None:
    assert not leads_to_file(tmp_path / name)
    assert not leads_to_folder(tmp_path / name)


def test_what_is_there_is_told_apart(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert leads_to_file(tmp_path / "file")
    assert not leads_to_folder(tmp_path / "file")
    assert leads_to_folder(tmp_path)
