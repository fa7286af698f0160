"""Long lists line by line: what is fitted, functions by groups, parts by their codes."""

from collections import deque
from pathlib import Path

import pytest
from bay import keys_in, load_small
from fitted import FITTED_TEXT
from listener import Clock, Typist
from ordered import ORDER

from baycompanion.plain.job import walk_job
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.shop import Shop


@pytest.fixture
def fitted(shop: Shop, clock: Clock) -> Path:
    loaded = load_procedure(FITTED_TEXT, "fitted.yaml")
    return make_job(shop.jobs, loaded, keys_in(when=clock()))


def test_what_is_fitted_and_its_functions_are_answered_by_groups(
    shop: Shop, clock: Clock, fitted: Path
) -> None:
    typist = Typist(clock, deque(["1", "1", "8", "rest", "", "8", "", "1", "the owner", "quit"]))
    walk_job(shop, fitted, None, typist, clock)
    state = read_job(fitted).state
    assert [state.choices[name] for name in ("roof", "seats", "camera")] == ["yes", "no", "no"]
    assert set(state.track("before").ticks) == {"horn", "roof"}
    assert typist.told("8 Body: no") and typist.told("8 Body: all works")
    assert state.current == "after"


def test_how_a_line_was_before_is_told_once_it_is_answered(
    shop: Shop, clock: Clock, fitted: Path
) -> None:
    before = ["1", "9", "", "9", "", "1", "the owner"]
    typist = Typist(clock, deque([*before, "2", "weak", "quit"]))
    walk_job(shop, fitted, None, typist, clock)
    assert typist.told("Saved: Body: Horn: faulty, was works: worse.")


def test_parts_are_scanned_and_a_strange_code_asks_for_the_part(shop: Shop, clock: Clock) -> None:
    folder = make_job(shop.jobs, load_small(), keys_in(when=clock(), order=ORDER))
    to_the_parts = ["1", "1", "1", "1", "M-3", "2099-06-30", "1", ""]
    codes = ["4711", "77", "1", "the wide one", "quit"]  # the receiver is here, so the cap is 1
    typist = Typist(clock, deque([*to_the_parts, *codes]))
    walk_job(shop, folder, None, typist, clock)
    ticks = read_job(folder).state.track("parts").ticks
    assert {item: tick.answer.outcome for item, tick in ticks.items()} == {
        "receiver": "here",
        "cap": "wrong",
    }
    assert ticks["cap"].answer.code == "77"
    assert typist.told("“77” is not on the order O-77.")
    assert typist.told("scan or type a code, or the number of an answer")
