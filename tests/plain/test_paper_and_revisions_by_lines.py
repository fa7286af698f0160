"""Copying from the paper form, and moving to a newer revision, line by line."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from bay import SMALL_TEXT
from listener import Typist

from baycompanion.store.job.folder import read_job
from baycompanion.store.shop import Shop

Type = Callable[..., Typist]
Walk = Callable[..., None]
Journal = Callable[[str], dict[str, Any]]


def test_steps_are_copied_from_paper_until_the_person_stops(
    typing: Type, walk: Walk, folder: Path
) -> None:
    """R54."""
    walk("odometer")
    typist = typing("?paper", "07:40", "80123", "07:41", "2026-03-03", "?back", "?quit")
    assert typist.told("From paper: what you answer now was done at 07:40.")
    assert typist.told("Nothing more is copied from paper.")
    steps = {
        event.data.step: event.data.on_paper  # type: ignore[attr-defined]
        for event in read_job(folder).events
        if event.kind == "answered"
    }
    assert (steps["odometer"], steps["promised"], steps["parts"]) == (True, True, None)


def test_a_wait_is_copied_by_the_time_at_which_it_was_over(
    typing: Type, walk: Walk, folder: Path
) -> None:
    walk("cure")
    typist = typing("paper", "23:59", "?back", "quit")
    assert typist.told("The wait ran out on paper")
    assert read_job(folder).state.current == "cure"


def test_there_is_nothing_to_copy_at_the_hazards(typing: Type) -> None:
    assert typing("paper", "quit").told(
        "There is no step to copy now. Settle first what stands here, then copy on."
    )


def test_the_job_goes_on_by_a_newer_revision(
    typing: Type, walk: Walk, folder: Path, shop: Shop
) -> None:
    """R55."""
    walk("route")
    text = SMALL_TEXT.replace("revision: 3\n", "revision: 4\n")
    path = shop.procedures / "small-receiver.yaml"
    path.write_text(text.replace("at-most: 12.90", "at-most: 12.95"), encoding="utf-8")
    typist = typing("revise", "the maker says so", "quit")
    assert typist.told("What was done already and is done again:")
    assert typist.told("The job goes on by revision 4.")
    assert typist.told("Again: Revision 4 asks it otherwise.")
    assert read_job(folder).state.current == "rest-voltage"


def test_a_paused_job_that_goes_on_by_none_is_asked_for_no_reason(
    typing: Type, walk: Walk, folder: Path, shop: Shop
) -> None:
    """It was asked why, and every answer was refused."""
    walk("route")
    text = SMALL_TEXT.replace("revision: 3\n", "revision: 4\n")
    path = shop.procedures / "small-receiver.yaml"
    path.write_text(text, encoding="utf-8")
    typist = typing("pause", "meal", "dash is open", "route the leads", "revise", "quit")
    assert typist.told("only while somebody is at work on it")
    assert not typist.told("Go on by revision 4")


def test_a_shelf_without_a_newer_revision_or_with_a_broken_one_says_so(
    typing: Type, walk: Walk, folder: Path, shop: Shop
) -> None:
    walk("route")
    path = shop.procedures / "small-receiver.yaml"
    path.write_text(SMALL_TEXT, encoding="utf-8")
    assert typing("revise", "quit").told("The shelf holds no newer revision of this procedure.")
    path.write_text("procedure: [", encoding="utf-8")
    assert typing("revise", "quit").told("small-receiver.yaml:")
    path.unlink()
    assert typing("revise", "quit").told("There is no procedure")
