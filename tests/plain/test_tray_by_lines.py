"""The fastener tray line by line: the same counts, lines and exchanges, typed and heard."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from listener import Typist

from baycompanion.store.job.folder import read_job

Type = Callable[..., Typist]
Walk = Callable[..., None]
Newest = Callable[[str], dict[str, Any]]


def test_size_and_slot_follow_the_number(typing: Type, walk: Walk, journal: Newest) -> None:
    walk("out")
    typing("6, M5 × 12, A3")
    ticked = journal("ticked")
    assert (ticked["count"], ticked["size"], ticked["slot"]) == (6, "M5 × 12", "A3")


def test_a_line_is_added_and_heard_first_when_it_is_counted_back(
    typing: Type, walk: Walk, journal: Newest
) -> None:
    walk("out")
    typing("6", "", "4", "", "F7", "Ashtray", "Screws", "2", "", "B1", "0")
    added = journal("tray-line-added")
    assert (added["item"], added["panel"], added["slot"]) == ("t1", "Ashtray", "B1")
    walk("back")
    typist = typing("?lines", "2")
    assert typist.told("1. Ashtray: Screws, 2 off, in B1")
    assert typist.told("2. Clip, 4 off")
    assert (journal("ticked")["item"], journal("ticked")["count"]) == ("t1", 2)


def test_the_key_is_offered_by_its_name_while_numbers_are_typed(typing: Type, walk: Walk) -> None:
    walk("out")
    assert typing("?F7", "?back").told("Into the tray")


def test_a_number_that_leaves_something_over_is_asked_for_again(
    typing: Type, walk: Walk, folder: Path
) -> None:
    walk("back")
    typist = typing("3", "4", "5", "", "")
    assert typist.told("It came out: not matching · Screw: 6 off, 5 back, 1 left over")
    ticks = read_job(folder).state.track("back").ticks
    assert {name: tick.answer.count for name, tick in ticks.items()} == {"clip": 4, "screw": 5}


def test_an_exchange_is_asked_question_by_question(
    typing: Type, walk: Walk, journal: Newest
) -> None:
    walk("back")
    typist = typing("?F7", "", "2", "spare clips", "brittle", "6", "")
    assert typist.told("The old ones lie with the old parts then, and not in the tray.")
    answered = journal("answered")
    assert answered["outcome"] == "matching"
    said = "Clip: 4 off, 4 back, 2 exchanged for spare clips (brittle)"
    assert answered["details"] == {"clip": said}
    assert typist.told(f"Saved: matching · {said}.")
