"""A form is asked question by question, keeps what was typed, and can be left at each of them."""

from collections import deque
from collections.abc import Mapping

import pytest
from listener import Clock, Typist

from baycompanion.plain.form import ask_form
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Field, Form

Answers = Mapping[str, str]

FIELDS = (
    Field("why", "Why?"),
    Field("which", "Which one", ("left", "right")),
    Field("more", "Anything to add", hint="or nothing", may_be_empty=True),
)


def asked(
    *lines: str, fields: tuple[Field, ...] = FIELDS, refuse: str = ""
) -> tuple[Typist, list[Answers], bool | None]:
    """Type lines at a form whose answers are refused while the first of them is `refuse`."""
    taken: list[Answers] = []

    def take(answers: Answers) -> str | None:
        if refuse and answers["why"] == refuse:
            return "That is no reason."
        taken.append(dict(answers))
        return None

    typist = Typist(Clock(), deque(lines))
    try:
        done: bool | None = ask_form(typist, Form("Title", fields, dict, accept="Go"), take)
    except EOFError:
        done = None
    return typist, taken, done


def test_each_question_is_one_prompt() -> None:
    typist, taken, done = asked("rust", "2", "")
    assert typist.heard == [
        "Title",
        "3 questions, then: Go.",
        "Why? (?back leaves):",
        "1. left",
        "2. right",
        "Which one (a number from 1 to 2; ?back leaves):",
        "Anything to add (or nothing; Enter leaves it empty; ?back leaves):",
    ]
    assert (taken, done) == ([{"why": "rust", "which": "right", "more": ""}], True)


@pytest.mark.parametrize(
    "lines",
    [("?back",), ("rust", "?back"), ("rust", "back"), ("rust", "esc"), ("rust", "1", "?Escape")],
)
def test_it_is_left_at_any_question_and_nothing_is_done(lines: tuple[str, ...]) -> None:
    typist, taken, done = asked(*lines)
    assert (taken, done) == ([], False)
    assert typist.heard[-1] == "Left. Nothing was done."


def test_back_is_a_word_like_any_other_where_words_are_asked() -> None:
    assert asked("back", "1", "")[1][0]["why"] == "back"


def test_a_question_without_an_answer_is_asked_again() -> None:
    typist, taken, _ = asked("", "rust", "up", "9", "0", "Left", "")
    assert typist.told("Why: nothing is entered yet.")
    assert typist.told("“up” is none of them. Type a number from 1 to 2.")
    assert typist.told("“9” is none of them.")
    assert taken[0]["which"] == "left"


def test_what_is_refused_is_asked_again_and_enter_keeps_the_rest() -> None:
    typist, taken, _ = asked("x", "2", "more", "rust", "", "", refuse="x")
    assert typist.told("That is no reason.")
    assert typist.told("Why? (Enter keeps “x”; ?back leaves):")
    assert taken == [{"why": "rust", "which": "right", "more": "more"}]


def test_the_end_of_input_leaves_a_form_undone() -> None:
    assert asked("rust")[1:] == ([], None)


def test_help_says_the_way_out_and_other_words_wait() -> None:
    typist, taken, _ = asked("?", "?note", "??", "1", "")
    assert typist.told("?back leaves the form, and nothing is done.")
    assert typist.told("“note” does not work inside a form.")
    assert taken[0]["why"] == "?"


def test_what_stands_in_a_field_already_is_kept_by_enter() -> None:
    _, taken, _ = asked("", fields=(Field("why", "Why?", value="as before"),))
    assert taken == [{"why": "as before"}]


@pytest.mark.parametrize("error", [ValueError("No such day"), StoreTrouble("The disk is full.")])
def test_whatever_goes_wrong_is_one_sentence(error: Exception) -> None:
    tries = []

    def make(answers: Answers) -> Answers:
        tries.append(answers["why"])
        if len(tries) == 1:
            raise error
        return answers

    typist = Typist(Clock(), deque(["a", ""]))
    assert ask_form(typist, Form("T", FIELDS[:1], make), lambda _: None)
    assert typist.told(f"{error}".rstrip(".") + ".")
    assert tries == ["a", "a"]


def test_what_was_typed_can_be_emptied_again_where_a_question_may_stay_empty() -> None:
    """What is refused for being there at all would be kept for ever by Enter."""
    typist, taken, _ = asked("x", "1", "10 A", "?empty", "rust", "", "?empty", refuse="x")
    assert typist.told("“empty” does not work inside a form."), "Why? may not stay empty"
    assert taken == [{"why": "rust", "which": "left", "more": ""}]


def test_a_pin_that_is_kept_is_said_to_be_kept_and_never_told() -> None:
    fields = (
        Field("pin", "PIN", hint="empty where you have none", may_be_empty=True, secret=True),
        Field("why", "Why?"),
    )
    typist, taken, done = asked("4711", "rust", "", "wear", fields=fields, refuse="rust")
    asked_for = [line for line in typist.heard if line.startswith("PIN (")]
    assert asked_for == [
        "PIN (empty where you have none; Enter leaves it empty; ?back leaves):",
        "PIN (empty where you have none; Enter keeps what you typed; ?empty empties it; "
        "?back leaves):",
    ]
    assert (taken, done) == ([{"pin": "4711", "why": "wear"}], True)
