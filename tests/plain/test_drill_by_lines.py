"""The drill line by line: heard, answered by numbers, left at any question, and kept."""

import contextlib
import subprocess
import sys
from collections import deque
from pathlib import Path

import pytest
from drilled import PIN, digits, make_drill_shop
from listener import Clock, Typist

from baycompanion.job.deciding.draft import Person
from baycompanion.plain.board import Board
from baycompanion.plain.drill import PlainDrill
from baycompanion.store.recalls import read_recalls, recalls_path
from baycompanion.store.shelf import list_procedures
from baycompanion.store.shop import Shop
from baycompanion.working.drilling import Sitting, Wish, sit_down

T3 = Person("T3", "trainee")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return make_drill_shop(tmp_path / "shop")


def sit(shop: Shop, clock: Clock, **wish: object) -> Sitting:
    return sit_down(shop, T3, "shelf-lamp", Wish(**wish), clock)  # type: ignore[arg-type]


def drill(sitting: Sitting, *lines: str) -> Typist:
    assert isinstance(sitting.now, Clock)
    typist = Typist(sitting.now, deque(lines))
    with contextlib.suppress(EOFError):
        PlainDrill(sitting, typist).walk()
        typist.leaving = "quit"
    return typist


def ratings(shop: Shop) -> list[str]:
    return [event.data.rating for event in read_recalls(shop.folder, "T3")]  # type: ignore[attr-defined]


def test_a_question_is_read_with_numbers_and_after_the_answer_why(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, most=1)
    question = sitting.question
    assert question is not None
    typist = drill(sitting, " ".join(digits(question, True)))
    assert typist.leaving == "quit"
    heard = typist.heard
    assert heard[:2] == ["Drill of T3. Questions: 1.", "Question 1 of 1."]
    assert question.asks in heard
    for number, option in enumerate(question.options, 1):
        assert f"{number}. {option.words}" in heard
    assert heard.index("RIGHT") > heard.index(question.asks)
    if question.why:
        assert f"Why: {question.why}" in heard
    assert "1 of 1 question right at once." in heard
    assert "Coming back: 1 within the hour." in heard


def test_wrong_is_told_with_the_right_answer_and_comes_once_more(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, most=1)
    wrong = digits(sitting.question, False)
    typist = drill(sitting, ",".join(wrong), "quit")
    assert typist.told("NOT RIGHT. This is the answer:")
    assert typist.told("Question 1 of 1, once more.")
    assert typist.told("0 of 1 question right at once.")
    assert ratings(shop) == ["again"]


def test_a_hint_is_read_before_the_answer_and_counted(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, most=1)
    typist = drill(sitting, "hint", " ".join(digits(sitting.question, True)))
    assert typist.told("Hint: ")
    assert typist.told("RIGHT, with a hint")
    assert typist.told("0 of 1 question right at once, 1 with a hint.")
    assert ratings(shop) == ["hard"]


@pytest.mark.parametrize("typed", ["0", "7", "1 1", "x", "1.5", "²", "99999999999999", "-1"])
def test_what_is_no_answer_is_told_and_the_question_stays(
    shop: Shop, clock: Clock, typed: str
) -> None:
    sitting = sit(shop, clock, most=1)
    typist = drill(sitting, typed, "?", "again", "?quit")
    assert typist.told("is no answer here. Type ? for what can be typed.")
    assert typist.told("A number answers the question.")
    assert typist.heard.count("Question 1 of 1.") == 2
    assert typist.leaving == "quit"
    assert ratings(shop) == []


def test_enter_alone_is_told_as_nothing_and_the_question_stays(shop: Shop, clock: Clock) -> None:
    typist = drill(sit(shop, clock, most=1), "", "quit")
    assert typist.heard[typist.heard.index(typist.prompts[0]) + 1 :][:2] == [
        "Nothing was typed. Type ? for what can be typed.",
        typist.prompts[0],
    ]
    assert ratings(shop) == []


def test_steps_are_put_in_order_by_all_their_numbers(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, all_cards=True)
    while sitting.question is not None and sitting.question.card.kind != "order":
        sitting.go_on()
    many = len(sitting.question.options) if sitting.question is not None else 0
    assert many > 2
    right = digits(sitting.question, True)
    typist = drill(sitting, right[0], " ".join([*right[:-1], right[0]]), "".join(right), "quit")
    assert typist.prompts[0].startswith(f"All {many} numbers in order, like ")
    assert sum("is no answer here" in line for line in typist.heard) == 2
    assert "RIGHT" in typist.heard
    assert ratings(shop) == ["good"]


def test_what_was_answered_before_the_lines_end_is_kept(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock)
    typist = drill(sitting, " ".join(digits(sitting.question, True)))
    assert typist.leaving is None
    assert ratings(shop) == ["good"]


def test_nothing_due_is_one_sentence_and_when(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, all_cards=True)
    while sitting.question is not None:
        drill_one = digits(sitting.question, True)
        names = [option.name for option in sitting.question.options]
        sitting.answer([names[int(digit) - 1] for digit in drill_one])
        sitting.go_on()
    typist = drill(sit(shop, clock))
    assert typist.heard[0] == "Nothing is due for T3 in shelf-lamp."
    assert typist.heard[1].startswith("Next: ")
    assert typist.prompts == []


# --- from the board -----------------------------------------------------------------------------


def board(shop: Shop, clock: Clock, *lines: str) -> Typist:
    typist = Typist(clock, deque(lines))
    with contextlib.suppress(EOFError):
        Board(shop, typist, clock).walk()
        typist.leaving = "quit"
    return typist


def number_of(shop: Shop, name: str) -> str:
    return str(list(list_procedures(shop.procedures)).index(name) + 1)


def test_the_board_says_who_has_questions_due_and_leads_to_them(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, most=2)
    while sitting.question is not None:
        names = [option.name for option in sitting.question.options]
        sitting.answer([names[int(digit) - 1] for digit in digits(sitting.question, True)])
        sitting.go_on()
    clock.move(600)
    lamp = number_of(shop, "shelf-lamp")
    typist = board(shop, clock, "learn", "T3", lamp, "quit", "quit", "quit")
    assert typist.told("T3: 2 questions due today.")
    assert typist.told(f"{lamp}. Fit a shelf lamp: 2 due, ")
    assert typist.told("Nothing was answered.")
    assert typist.leaving == "quit"


def test_one_phase_alone_and_all_of_it(shop: Shop, clock: Clock) -> None:
    lamp = number_of(shop, "shelf-lamp")
    lines = ["l", "T3", f"phase {lamp}", "Fit the lamp", "quit", f"all {lamp}", "quit", "all", "99"]
    typist = board(shop, clock, *lines, "nope", "?", "again", "quit", "quit")
    assert typist.told("One phase alone")
    assert sum(line.startswith("Question 1 of ") for line in typist.heard) == 2
    assert sum("Type the number of a procedure" in line for line in typist.heard) == 2
    assert typist.told("“nope” means nothing here.")
    assert typist.told("A number drills what is due of it.")
    assert typist.leaving == "quit"


def test_whoever_has_a_pin_gives_it_first(shop: Shop, clock: Clock) -> None:
    typist = board(shop, clock, "learn", "T4", "0000", PIN, number_of(shop, "shelf-lamp"), "quit")
    assert typist.told("That is not the PIN of T4.")
    assert typist.told("Drill of T4.")
    typist = board(shop, clock, "learn", "T4", "?back", "?back", "quit")
    assert not typist.told("Fit a shelf lamp")
    assert typist.leaving == "quit"


def test_a_log_that_was_changed_is_told_with_its_line(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, most=1)
    drill(sitting, " ".join(digits(sitting.question, True)))
    path = recalls_path(shop.folder, "T3")
    path.write_text(path.read_text(encoding="utf-8").replace('"good"', '"easy"'), encoding="utf-8")
    number = number_of(shop, "shelf-lamp")
    typist = board(shop, clock, "learn", "T3", f"practise {number}", "?back", "quit")
    assert typist.told("recalls.jsonl:2: This line was changed after it was written. Put a whole")
    assert typist.told(f"{number}. Fit a shelf lamp: only practice.")
    assert typist.told("On a made-up vehicle. It counts for nothing")


def test_it_goes_through_a_pipe(shop: Shop) -> None:
    command = [sys.executable, "-m", "baycompanion", "drill", "shelf-lamp", "--by", "t3", "--plain"]
    done = subprocess.run(
        [*command, "--shop", str(shop.folder)],
        input="quit\n",
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Drill of T3. Questions: ")
    assert "Nothing was answered." in done.stdout
