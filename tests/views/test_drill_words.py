"""What a drill says at its end, and when a question comes back, in words."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from baycompanion.learning.drill.deck import DeckCard
from baycompanion.learning.drill.question import Option, Question, Verdict, judge
from baycompanion.learning.drill.schedule import NEW_A_DAY, DrillStanding
from baycompanion.views.board.board import due_line
from baycompanion.views.drill import (
    Outcome,
    after_answer,
    comes_back,
    due_words,
    outcome_lines,
    standing_words,
)

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def outcome(**told: object) -> Outcome:
    plain: dict[str, object] = {
        "who": "T3",
        "procedures": ("lamp",),
        "asked": 0,
        "right": 0,
        "helped": 0,
        "back": (),
        "left": 0,
        "known": (),
        "unseen": 0,
        "fewer": (),
    }
    return Outcome(**{**plain, **told})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("after", "told"),
    [
        (-DAY, "within the hour"),
        (HOUR, "within the hour"),
        (2 * HOUR, "today"),
        (15 * HOUR, "today"),
        (16 * HOUR, "tomorrow"),
        (DAY, "tomorrow"),
        (2 * DAY, "on Wed 4 March"),
        (299 * DAY, "on Sat 26 December"),
        (365 * DAY, "on Tue 2 March 2027"),
    ],
)
def test_a_moment_is_told_as_whoever_stands_in_the_shop_would(after: timedelta, told: str) -> None:
    assert comes_back([NOW + after], NOW) == [f"1 {told}"]


def test_the_day_is_that_of_the_shop() -> None:
    west = NOW.astimezone(timezone(timedelta(hours=-9)))  # still the evening of the day before
    assert comes_back([NOW + 6 * HOUR], NOW) == ["1 today"]
    assert comes_back([NOW + 6 * HOUR], west) == ["1 tomorrow"]


def test_moments_are_counted_by_their_day_the_nearest_first() -> None:
    moments = [NOW + 9 * DAY, NOW + DAY, NOW, NOW + DAY + HOUR]
    assert comes_back(moments, NOW) == ["1 within the hour", "2 tomorrow", "1 on Wed 11 March"]


def question(kind: str, own_order: tuple[str, ...] = (), why: str = "") -> Question:
    card = DeckCard("lamp/x", "f", kind, "lamp", "fit", None, None)  # type: ignore[arg-type]
    options = (Option("a", "Plug it in: 1. gently."), Option("b", "Switch it on."))
    return Question(card, "?", (), options, why, (("a",),), own_order)


def test_after_an_answer_comes_right_or_not_in_words_then_what_is_right_then_why() -> None:
    asked = question("next", why="It sparks.")
    right, answer, why = after_answer(asked, Verdict(True, "Plug it in: 1. gently."), False)
    assert (right.tone, right.words) == ("good", "✓ RIGHT")
    assert (answer.words, why.words) == ("Plug it in: 1. gently.", "Why: It sparks.")
    assert next(after_answer(asked, Verdict(True, "x"), True)).words == "✓ RIGHT, with a hint"
    wrong = next(after_answer(asked, Verdict(False, "x"), True))
    assert (wrong.tone, wrong.words) == ("bad", "✗ NOT RIGHT. This is the answer:")


@pytest.mark.parametrize("given", [("b", "a"), ("a", "b")])
def test_an_order_is_told_line_by_line(given: tuple[str, ...]) -> None:
    asked = question("order", ("b", "a"))
    asked = replace(asked, accepted=(("b", "a"), ("a", "b")))
    _, told, *steps = after_answer(asked, judge(asked, given), False)
    assert told.words.endswith("The procedure's own order:")
    assert told.words.startswith("The gates allow this order as well.") is (given == ("a", "b"))
    assert [step.words for step in steps] == ["1. Switch it on.", "2. Plug it in: 1. gently."]


def test_a_sitting_ends_with_how_many_were_right_and_what_comes_back_when() -> None:
    came = outcome(asked=3, right=1, helped=1, back=(NOW, NOW + DAY, NOW + DAY), left=4)
    assert list(outcome_lines(came, NOW)) == [
        "1 of 3 questions right at once, 1 with a hint.",
        "Coming back: 1 within the hour, 2 tomorrow.",
        "Still waiting: 4.",
    ]


def test_nothing_due_says_what_comes_next_and_what_is_new() -> None:
    known = tuple(NOW + number * DAY for number in range(1, 7))
    told = list(outcome_lines(outcome(known=known, unseen=14, fewer=("No tools.",)), NOW))
    assert told == [
        "Nothing is due for T3 in lamp.",
        "Next: 1 tomorrow, 1 on Wed 4 March, 1 on Thu 5 March.",
        f"14 new questions will come, {NEW_A_DAY} a day at most.",
        "No tools.",
    ]


def test_leaving_at_once_is_no_empty_day() -> None:
    assert list(outcome_lines(outcome(left=2), NOW)) == [
        "Nothing was answered.",
        "Still waiting: 2.",
    ]


def test_how_many_are_due_and_new_in_a_few_words() -> None:
    assert [due_words(*each) for each in ((3, 7), (3, 0), (0, 7), (0, 0))] == [
        "3 due · 7 new",
        "3 due",
        "7 new",
        "nothing due",
    ]
    assert due_line("T3", 1) == "T3: 1 question due today"
    assert due_line("T3", 1200) == "T3: 1,200 questions due today"


def test_how_somebody_stands_names_the_gate_that_is_least_known() -> None:
    weak = (("power-off", 0.5), ("proved", 0.97))
    standing = DrillStanding(1, 8, 2, 9, 0.735, weak, "2026-03-02T08:00:00.000Z")
    assert standing_words(standing) == (
        "Asked so far: 2 of 10 questions. Likely to be right today: 74% of them. "
        "Least known: the gate power-off."
    )
    strong = DrillStanding(0, 0, 1, 1, 0.97, weak[1:], None)
    assert standing_words(strong) == (
        "Asked so far: 1 of 1 question. Likely to be right today: 97% of them."
    )
    assert standing_words(DrillStanding(0, 1, 0, 0, None, (), None)) == (
        "Asked so far: 0 of 1 question."
    )
