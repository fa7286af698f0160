"""A list that is half typed outlives the end of the lines, and goes on whichever way it began."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from listener import Typist

Type = Callable[..., Typist]
Walk = Callable[..., None]
Journal = Callable[[str], dict[str, Any]]


def test_a_list_goes_on_after_the_lines_came_to_their_end(
    walk: Walk, typing: Type, journal: Journal, folder: Path
) -> None:
    walk("stations")
    typing("88.1", "94.7", "100.1", "?undo")
    later = typing("101.5", "")
    assert later.told("2 entries stand here from before, the last: 94.7. ?undo takes it back.")
    assert journal("answered")["entries"] == ["88.1", "94.7", "101.5"]
    assert not (folder / "draft.json").exists()


def test_an_entry_of_the_screens_is_read_out_and_answers_nothing(
    walk: Walk, typing: Type, folder: Path
) -> None:
    walk("gauges")
    (folder / "draft.json").write_text(
        '{"step": "gauges", "fields": {"entry": "18,1", "entries": "[]"}}', encoding="utf-8"
    )
    first = typing("where")
    assert first.told("Half typed before, and no answer yet: 18,1")
    typing("18,16")
    assert not (folder / "draft.json").exists()
    assert not typing("where").told("Half typed")


def test_a_note_in_between_leaves_the_list_as_it_was(walk: Walk, typing: Type) -> None:
    walk("stations")
    typing("88.1", "?note", "bent bracket")
    assert typing("").told("1 entry stands here from before, the last: 88.1.")


def test_a_list_goes_on_after_another_step_was_answered_in_between(
    walk: Walk, typing: Type, journal: Journal, folder: Path
) -> None:
    walk("stations")
    typing("88.1", "?reopen 6", "another day", "2026-03-05")
    later = typing("94.7", "")
    assert later.told("1 entry stands here from before, the last: 88.1. ?undo takes it back.")
    assert journal("answered")["entries"] == ["88.1", "94.7"]
    assert not (folder / "draft.json").exists()
