"""A sum line by line: which, its questions, its result, and whether the job keeps it."""

import contextlib
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from listener import Clock, Typist
from sum_examples import example_of

from baycompanion.plain.board import Board
from baycompanion.plain.sums import work_sum
from baycompanion.store.job.folder import read_job
from baycompanion.store.shop import Shop, open_shop
from baycompanion.trade.catalogue import SUMS, work
from baycompanion.trade.kind import SumKind
from baycompanion.views.card.card import Deed
from baycompanion.views.sums import note_of

Type = Callable[..., Typist]
EVERY_SUM = pytest.mark.parametrize("kind", SUMS.values(), ids=SUMS)
KEY_OFF = ("85", "60", "", "")


def answers(kind: SumKind, given: dict[str, str]) -> list[str]:
    """Return the line for each question: the example, or Enter to leave it as it stands."""
    return [given.get(each.name, "") for each in kind.inputs]


def notes(folder: Path) -> list[str]:
    return [e.as_dict()["data"]["words"] for e in read_job(folder).events if e.kind == "noted"]


@EVERY_SUM
def test_every_sum_is_worked_from_its_own_example_and_read_out(clock: Clock, kind: SumKind) -> None:
    kept: list[Deed] = []
    given = example_of(kind)
    worked = work(kind.name, given)
    typist = Typist(clock, deque([*answers(kind, given), "2"]))
    work_sum(typist, {}, kind.name, kept.append)
    assert not typist.typed
    at = typist.heard.index(f"Sum: {kind.name}.")
    assert typist.heard[at + 1 : at + 3] == ["GOOD", worked.because]
    assert f"How: {worked.shown}" in typist.heard
    [deed] = kept
    assert deed.action.note == note_of(worked)  # type: ignore[union-attr]


def test_in_a_job_a_sum_is_chosen_by_number_and_kept_as_a_note(
    typing: Type, walk: Callable[..., None], folder: Path
) -> None:
    walk("gauges")
    typist = typing("?sum", "10", *KEY_OFF, "2", "?board")
    for number, kind in enumerate(SUMS.values(), 1):
        assert typist.told(f"{number}. {kind.name}: {kind.title}")
    assert typist.told("BAD")
    assert typist.told("Saved: Note 1 of this job.")
    assert notes(folder) == [note_of(work("key-off", {"draw_ma": "85", "battery_ah": "60"}))]
    assert read_job(folder).state.current == "gauges"


def test_a_sum_is_named_after_the_word_and_nothing_is_kept_without_a_wish(
    typing: Type, walk: Callable[..., None], folder: Path
) -> None:
    walk("route")
    typist = typing("sum key-off", *KEY_OFF, "", "board")
    assert typist.told("85 mA is over the limit of 50 mA")
    assert notes(folder) == []


def test_other_values_keep_what_was_typed(
    typing: Type, walk: Callable[..., None], folder: Path
) -> None:
    walk("route")
    typist = typing("sum key-off", *KEY_OFF, "1", "40", "", "", "", "9", "", "board")
    assert typist.told("Enter keeps “60”")
    assert typist.told("40 mA is within the limit")
    assert typist.told("“9” is none of them.")


def test_a_bad_value_asks_again_with_the_sentence(
    typing: Type, walk: Callable[..., None], folder: Path
) -> None:
    walk("route")
    typist = typing("sum key-off", "[b]none", "60", "", "", "35", "", "", "", "", "board")
    assert typist.told("draw_ma cannot be “[b]none”: type a number from 1 to 10000 in mA")
    assert typist.told("35 mA is within the limit")


def test_a_misspelt_name_is_told_with_the_nearest(typing: Type, walk: Callable[..., None]) -> None:
    walk("route")
    assert typing("sum key-of").told("There is no sum “key-of”. Did you mean key-off?")


def test_leaving_the_list_or_the_questions_does_nothing(
    typing: Type, walk: Callable[..., None], folder: Path
) -> None:
    walk("route")
    typist = typing("sum", "", "sum", "key-off", "?back", "more", "7", "99", "board")
    assert typist.told("Left. Nothing was done.")
    assert typist.told("There is no sum “99”.")
    assert notes(folder) == []


@pytest.mark.parametrize("back", ["?back", "back", "esc"])
def test_back_leaves_the_list_of_sums_and_a_result_as_it_leaves_a_form(
    typing: Type, walk: Callable[..., None], back: str
) -> None:
    walk("route")
    typist = typing("sum", back, "sum key-off", *KEY_OFF, back, "board")
    assert typist.told("85 mA is over the limit of 50 mA")
    assert typist.leaving == "board"
    assert not typist.told("none of them") and not typist.told("There is no sum")


def test_a_paused_job_offers_no_note(typing: Type, walk: Callable[..., None], folder: Path) -> None:
    walk("route")
    typist = typing("pause", "lunch", "nothing", "route", "sum key-off", *KEY_OFF, "2", "")
    assert typist.told("1 Other values, or Enter to go back:")
    assert typist.told("“2” is none of them.")


def at_the_board(shop: Shop, clock: Clock, *lines: str) -> Typist:
    typist = Typist(clock, deque(lines))
    with contextlib.suppress(EOFError):
        Board(shop, typist, clock).walk()
    return typist


def test_the_board_works_a_sum_with_the_caps_of_the_shop(shop: Shop, clock: Clock) -> None:
    (shop.folder / "shop.yaml").write_text("caps: [small 700-3000, grey 1500-6500]\n")
    lines: list[Any] = ["sum splice", "18,18,20", "", "", "", "", "", "quit"]
    typist = at_the_board(open_shop(shop.folder), clock, *lines)
    assert typist.told("Enter keeps “small 700-3000, grey 1500-6500”")
    assert typist.told("cap: grey")
    assert not typist.told("note")
