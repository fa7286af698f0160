"""A practice line by line: marked as practice, asked, looked at, run into a gate, left."""

import contextlib
from collections import deque
from pathlib import Path

import pytest
from bay import SMALL, SMALL_TEXT
from listener import Clock, Typist

from baycompanion.plain.board import Board
from baycompanion.plain.practice import NOT_HERE, begin_by_lines
from baycompanion.store.practice import list_practice
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble

ASKED = {"procedure": "small-receiver", "by": "N1", "faults": "0", "seed": "1"}


@pytest.fixture
def shop(shop: Shop) -> Shop:
    """Return the shop with the small procedure on its shelf."""
    (shop.procedures / "small-receiver.yaml").write_text(SMALL_TEXT, encoding="utf-8")
    return shop


def typing(shop: Shop, clock: Clock, *lines: str, in_full: bool = True, **asked: str) -> Typist:
    """Begin a practice and type lines at it until they are all typed, or it is left."""
    typist = Typist(clock, deque(lines))
    given = {**ASKED, **asked} if in_full else asked
    with contextlib.suppress(EOFError):
        typist.leaving = begin_by_lines(shop, typist, clock, given, in_full)
    return typist


def number_of(typist: Typist, step: str) -> str:
    """Return the number under which `step` was offered for what comes next."""
    text = SMALL.steps[step].text
    [line] = [line for line in typist.heard if line.endswith(f". {text}")]
    return line.split(".")[0]


def to_first_step(shop: Shop, clock: Clock) -> tuple[str, ...]:
    """Return what is typed until the first step stands there, learned by hearing the question."""
    heard = typing(shop, clock, "1", "give up", "enough")
    return "1", number_of(heard, "ask-amplifier"), "1"


def test_whoever_leaves_at_the_question_is_not_told_what_comes_next(
    shop: Shop, clock: Clock
) -> None:
    heard = typing(shop, clock, "1", "quit").heard
    [line] = [line for line in heard if "Left: " in line]
    assert line.startswith("PRACTICE: Left: practice ")
    assert line.endswith("-small-receiver. Everything saved is on the disk.")


def test_whatever_is_said_after_an_answer_begins_with_practice(shop: Shop, clock: Clock) -> None:
    lines = (
        *to_first_step(shop, clock),
        "see",
        "steps",
        "where",
        "help",
        "note",
        "seen",
        "more",
        "",
    )
    typist = typing(shop, clock, *lines, "quit")
    assert typist.heard[0] == "PRACTICE: made-up vehicle, counts for nothing."
    for at, line in enumerate(typist.heard[:-1]):
        if line in typist.prompts:
            assert typist.heard[at + 1].startswith("PRACTICE: "), typist.heard[at + 1]


def test_the_right_step_is_told_with_its_reason(shop: Shop, clock: Clock) -> None:
    typist = typing(shop, clock, *to_first_step(shop, clock)[:2])
    assert typist.told("What comes next?")
    assert typist.told("Step 1 of 33 comes next.")
    assert typist.told("Right.")


def test_a_wrong_order_is_explained_at_its_gate_and_done_all_the_same(
    shop: Shop, clock: Clock
) -> None:
    asked = typing(shop, clock, "1", "give up", "enough")
    number = number_of(asked, "rest-voltage")
    typist = typing(shop, clock, "1", number, "2")
    assert typist.told("You said: Measure the battery at rest. It does not come now.")
    assert typist.told("Gate on-bench-for-make-safe is shut before it: Work that stops")
    assert typist.told("It waits for: Multimeter: not ticked off")
    assert typist.told("Measure the battery at rest.")
    assert typist.told("Measure it: ?see. What is there is told then.")


def test_where_a_value_is_typed_the_word_that_looks_is_read_with_its_mark(
    shop: Shop, clock: Clock
) -> None:
    number = SMALL.number["odometer"]
    lines = (*to_first_step(shop, clock), f"look {number}", f"take up {number}")
    typist = typing(shop, clock, *lines)
    assert typist.told("Look: ?see. What is there is told then.")  # “see” would be the odometer


def test_what_is_there_is_heard_after_the_look(shop: Shop, clock: Clock) -> None:
    number = SMALL.number["rest-voltage"]
    lines = (*to_first_step(shop, clock), f"look {number}", f"take up {number}")
    before = typing(shop, clock, *lines)
    assert before.told("Done now, it would run into this:")
    assert before.told(f"To do it now, type take up {number}.")
    assert not before.told("Multimeter: 12.")
    after = typing(shop, clock, "1", "?see")  # the practice is gone on with
    assert after.told("Multimeter: 12.")


def test_the_order_is_not_told_while_it_is_asked(shop: Shop, clock: Clock) -> None:
    typist = typing(shop, clock, "1", "steps", "look 1", "where", "take up 1", "see", "why")
    assert sum("First say what comes next." in line for line in typist.heard) == 5
    assert not typist.told("Phase: Refit")


@pytest.mark.parametrize("word", sorted(NOT_HERE))
def test_what_reaches_the_shop_says_why_it_does_not(shop: Shop, clock: Clock, word: str) -> None:
    typist = typing(shop, clock, *to_first_step(shop, clock), word)
    assert typist.told(NOT_HERE[word])


def test_a_wait_runs_out_by_enter(shop: Shop, clock: Clock) -> None:
    cure = SMALL.number["cure"]
    asked = typing(shop, clock, "give up", "enough", phase="bench")
    lines = (number_of(asked, "gauges"), "1", f"?take up {cure}", "", "")
    typist = typing(shop, clock, *lines, phase="bench")
    assert typist.told("10:00 to go")
    assert typist.told("00:00 – the time is over")
    assert typist.prompts[-1].startswith("Write it down"), "back at the step in its place"


def test_one_left_is_gone_on_with_or_given_up(shop: Shop, clock: Clock) -> None:
    typing(shop, clock, "1", "quit")
    again = typing(shop, clock, "1", "quit")
    assert again.told("There is a practice under way")
    assert again.told("What comes next?")
    anew = typing(shop, clock, "2", "quit")
    assert anew.told("Does this procedure fit?")
    assert [each.ended_at is None for each in list_practice(shop.folder, "N1")] == [True, False]


def test_the_form_asks_for_what_was_not_said(shop: Shop, clock: Clock) -> None:
    lines = ("small-receiver", "N1", "1", "one phase alone", "5", "Bench")
    typist = typing(shop, clock, *lines, in_full=False)
    assert typist.heard[0] == "PRACTICE: Practise"
    assert typist.told("phase 3 of 5: Bench")


def test_an_unknown_phase_is_one_sentence(shop: Shop, clock: Clock) -> None:
    with pytest.raises(StoreTrouble, match="has no phase “bensh”"):
        typing(shop, clock, phase="bensh")


def test_given_up_it_is_summed_up(shop: Shop, clock: Clock) -> None:
    typist = typing(shop, clock, "1", "give up", "enough", "quit", faults="1", seed="7")
    assert typist.told("planted fault caught.")
    assert any(line.startswith("Slipped through: ") for line in typist.heard)  # without its sign
    assert typist.told("Would have caught it: step")
    assert typist.leaving == "quit"
    folder = shop.folder / "learning" / "N1" / "practice"
    [practice] = folder.iterdir()
    assert (practice / "practice.json").is_file() and not (practice / "record.json").exists()
    assert not list(Path(shop.jobs).iterdir())


def test_the_board_leads_to_it_and_back(shop: Shop, clock: Clock) -> None:
    lines = ("practise", "small-receiver", "N1", "0", "the whole job", "1", "board", "quit")
    typist = Typist(clock, deque(lines))
    Board(shop, typist, clock).walk()
    assert typist.told("PRACTICE: made-up vehicle, counts for nothing.")
    assert typist.prompts[-1].startswith("A number to open a job")


def test_why_a_choice_sits_there_is_that_steps_hang_on_it(shop: Shop, clock: Clock) -> None:
    typist = typing(shop, clock, *to_first_step(shop, clock)[:2])
    assert typist.told("Its answer says whether 1 step belongs to the job.")
