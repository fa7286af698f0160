"""A procedure file under somebody's hands: what is read anew, and what stays meanwhile."""

import os
from pathlib import Path

from bay import SMALL_TEXT

from baycompanion.store.draft_file import DraftFile

SHARED = """\
shared: more
phases:
  - phase: more
    title: More
    target: 5 min
    steps:
      - do: Do more.
        id: more-done
"""


def write(path: Path, text: str) -> None:
    later = path.stat().st_mtime_ns + 1_000_000 if path.exists() else None
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    if later is not None:
        os.utime(path, ns=(later, later))


def test_it_is_read_when_it_was_saved_and_not_before(tmp_path: Path) -> None:
    path = tmp_path / "small.yaml"
    write(path, SMALL_TEXT)
    file = DraftFile(path)
    assert (file.look(), file.look()) == (True, False)
    write(path, SMALL_TEXT)
    assert (file.look(), file.look()) == (True, False)
    assert not file.broken


def test_what_it_includes_counts_too_even_once_it_was_broken(tmp_path: Path) -> None:
    path, shared = tmp_path / "small.yaml", tmp_path / "shared" / "more.yaml"
    write(shared, SHARED)
    write(path, SMALL_TEXT.replace("phases:\n", "phases:\n  - include: shared/more.yaml\n", 1))
    file = DraftFile(path)
    file.look()
    assert file.good is not None
    assert "more-done" in file.good.procedure.steps
    write(shared, SHARED.replace("title:", "titel:"))
    assert file.look()
    assert file.broken
    assert any("more.yaml:4" in problem for problem in file.problems)
    write(shared, SHARED.replace("Do more.", "Do much more."))
    assert file.look()
    assert not file.broken
    assert file.good.procedure.steps["more-done"].text == "Do much more."


def test_a_file_that_goes_away_is_told_and_what_was_good_stays(tmp_path: Path) -> None:
    path = tmp_path / "small.yaml"
    write(path, SMALL_TEXT)
    file = DraftFile(path)
    file.look()
    path.unlink()
    assert file.look()
    assert file.broken
    assert file.good is not None
    assert str(path) in file.problems[0]


def test_a_name_that_leads_nowhere_is_no_good_procedure(tmp_path: Path) -> None:
    path = tmp_path / "small.yaml"
    write(path, SMALL_TEXT)
    file = DraftFile(path)
    file.look()
    write(path, SMALL_TEXT.replace("override: ", "overide: ", 1))
    file.look()
    assert file.broken
