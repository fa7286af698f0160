"""What can be typed at a card, and what each line means there."""

from dataclasses import replace

import pytest
from bay import Bay, tick

from baycompanion.job.actions import (
    Accept,
    Acknowledge,
    Answer,
    TickLine,
    TickRest,
)
from baycompanion.plain.meaning import Doubt, Listed, Meaning, Wrong, understand
from baycompanion.plain.prompt import prompt, row_in_hand
from baycompanion.plain.words import AT_A_JOB, Said, find_word, read_number
from baycompanion.views.card.card import Card, Deed, Form, GoTo, Key, Row
from baycompanion.views.card.cards import job_card


def card_at(step: str | None) -> Card:
    """Return the card of a step of the small procedure, or that of the hazards."""
    bay = Bay().walk(step) if step else Bay()
    return job_card(bay.procedure, bay.state, (), bay.now)


def meant(card: Card, typed: str, entries: tuple[str, ...] = ()) -> Meaning:
    return understand(card, row_in_hand(card, None), entries, typed)


PROMPTS = [
    (None, "1 It fits, and I have read the hazards, 2 It does not fit: give the job up, "),
    ("ask-camera", "1 None, 2 Rear, 3 Front, "),
    ("odometer", "Number in km; or ?cannot (not done), "),
    ("promised", "Date (like 2026-11-25); or ?cannot (not done), "),
    ("stations", "Entry 1, or Enter alone when the list is complete; or ?cannot (not done), "),
    (
        "before",
        "Line 1 of 4, Horn: 1 Works, 2 Faulty, 3 Not fitted, 4 Could not test, "
        "9 The other 4: all works, line and a number for another line, ",
    ),
    ("rest-voltage", "Reading in V (12.4 to 12.90 V); or ?cannot, "),
    ("disconnect", "1 I have read this (or Enter), "),
    (
        "out",
        "Line 1 of 2, Screw: how many; with size and slot 4, M5 × 12, A3; or ?F7 Another panel, "
        "?line and a number for another line, ",
    ),
    ("splice", "1 Work it out (or Enter), 2 Could not test, "),
    ("joins-hold", "1 Passed, 2 Failed, 3 Not fitted, 4 Could not test, "),
    (
        "back",
        "Line 1 of 2, Clip, 4 off: how many went back; or ?F7 Exchanged, "
        "?line and a number for another line, ",
    ),
    ("route", "1 Done (or Enter), 2 Not done, "),
]


@pytest.mark.parametrize(("step", "words"), PROMPTS)
def test_a_question_says_in_words_what_can_be_typed(step: str | None, words: str) -> None:
    card = card_at(step)
    assert prompt(card, row_in_hand(card, None)) == f"{words}? for help:"


def test_an_answered_list_says_so_and_how_it_is_finished() -> None:
    bay = Bay().walk("panels")
    bay.do(TickRest(tick_rest="panels"))
    card = job_card(bay.procedure, bay.state, (), bay.now)
    assert row_in_hand(card, None) is None
    assert prompt(card, None) == (
        "Every line has an answer: 0 Finish list (or Enter), "
        "line and a number for another line, ? for help:"
    )
    assert "until now unmarked" in prompt(card, row_in_hand(card, 1))


DEEDS = [
    (None, "1", Accept(accept="hazards")),
    ("ask-camera", "2", Answer(answer="ask-camera", value="rear")),
    ("ask-camera", "REAR", Answer(answer="ask-camera", value="rear")),
    ("odometer", "80123", Answer(answer="odometer", value="80123")),
    ("odometer", "1", Answer(answer="odometer", value="1")),
    ("before", "1", tick("before", "horn", "works")),
    ("before", "works", tick("before", "horn", "works")),
    ("before", "9", TickRest(tick_rest="before")),
    ("before", "rest", TickRest(tick_rest="before")),
    ("rest-voltage", "12.60", Answer(answer="rest-voltage", value="12.60")),
    ("disconnect", "", Acknowledge(acknowledge="disconnect", caution=0)),
    ("disconnect", "1", Acknowledge(acknowledge="disconnect", caution=0)),
    ("out", "6,, A3", TickLine(tick="out", item="screw", count=6, slot="A3")),
    ("out", "0", TickLine(tick="out", item="screw", count=0)),
    ("gauges", "note", Answer(answer="gauges", value="note")),
    ("gauges", "??18", Answer(answer="gauges", value="?18")),
    ("joins-hold", "passed", Answer(answer="joins-hold", outcome="passed")),
    ("route", "", Answer(answer="route", outcome="done")),
]


@pytest.mark.parametrize(("step", "typed", "action"), DEEDS)
def test_an_answer_is_a_key_its_name_or_the_value(
    step: str | None, typed: str, action: object
) -> None:
    does = meant(card_at(step), typed)
    assert isinstance(does, Deed)
    assert does.action == action


SAID = [
    ("joins-hold", "", Said("again")),
    ("joins-hold", "?", Said("help")),
    ("joins-hold", "note", Said("note")),
    ("joins-hold", "?note", Said("note")),
    ("joins-hold", "  Give   UP ", Said("give up")),
    ("joins-hold", "look 12", Said("look", "12")),
    ("joins-hold", "look at 5 and 6", Said("look", "at 5 and 6")),
    ("joins-hold", "F2", Said("note")),
    ("gauges", "?look 12", Said("look", "12")),
    ("gauges", "", Said("again")),
    ("before", "line 3", Said("line", "3")),
    ("before", "", Said("again")),
    ("out", "?line 2", Said("line", "2")),
    ("out", "", Said("again")),
]


@pytest.mark.parametrize(("step", "typed", "said"), SAID)
def test_a_word_of_the_program_is_bare_or_marked(step: str, typed: str, said: Said) -> None:
    assert meant(card_at(step), typed) == said


@pytest.mark.parametrize(
    ("step", "typed"),
    [("before", "2"), ("route", "2"), ("rest-voltage", "?cannot"), ("rest-voltage", "?F7")],
)
def test_some_answers_ask_a_form(step: str, typed: str) -> None:
    assert isinstance(meant(card_at(step), typed), Form)


@pytest.mark.parametrize(
    ("step", "typed", "sentence"),
    [
        ("route", "7", "“7” means nothing here. Type ? for what can be typed."),
        ("route", "nte", "“nte” means nothing here. Did you mean note? Or type ? for"),
        ("route", "x" * 100_000, f"“{'x' * 40}…” means nothing here."),
        ("route", "9" * 5000, f"“{'9' * 40}…” means nothing here."),
        ("gauges", "?nope", "“nope” means nothing here."),
        ("joins-hold", "rest", "There is no “rest” here."),
        ("joins-hold", "cannot", "There is no “cannot” here."),
        ("out", "-1", "Type a number from 0 to 9999."),
        ("out", "note", "“note” is no whole number. Type how many: Screw. For the word of the"),
    ],
)
def test_what_means_nothing_gets_one_sentence(step: str, typed: str, sentence: str) -> None:
    wrong = meant(card_at(step), typed)
    assert isinstance(wrong, Wrong)
    assert wrong.sentence.startswith(sentence)
    assert "\n" not in wrong.sentence


def test_a_reading_that_comes_out_badly_is_doubted() -> None:
    doubt = meant(card_at("rest-voltage"), "126")
    assert isinstance(doubt, Doubt)
    assert doubt.said == "OUTSIDE: 12.4 to 12.90 V"
    assert doubt.deed.action == Answer(answer="rest-voltage", value="126")


def test_a_list_takes_entries_until_enter_alone() -> None:
    card = card_at("stations")
    assert meant(card, "88.1") == Listed("88.1")
    done = meant(card, "", ("88.1", "94.7"))
    assert isinstance(done, Deed)
    assert done.action == Answer(answer="stations", entries=("88.1", "94.7"))


def test_many_answers_are_chosen_by_number() -> None:
    rows = tuple(
        Row(f"a{n}", "·", "", f"Answer {n}", keys=(Key("1", "This one", GoTo(f"s{n}")),))
        for n in range(1, 9)
    )
    card = replace(card_at("route"), keys=(), rows=rows)
    assert prompt(card, row_in_hand(card, None)) == "a number from 1 to 8, ? for help:"
    assert meant(card, "8") == GoTo("s8")
    assert isinstance(meant(card, "9"), Wrong)
    assert meant(card, "") == Said("again")


def test_an_answer_named_like_a_word_of_the_program_is_the_answer() -> None:
    card = replace(card_at("route"), keys=(Key("1", "Note", GoTo("there")),))
    assert meant(card, "note") == GoTo("there")
    assert meant(card, "?note") == Said("note")


def test_no_two_words_of_the_program_are_told_apart_by_nothing() -> None:
    typed = [name for word in AT_A_JOB for name in (word.name, word.key) if name]
    assert len(typed) == len(set(typed))
    for word in AT_A_JOB:
        assert find_word(word.name.upper(), AT_A_JOB) == Said(word.name)


@pytest.mark.parametrize(
    ("typed", "number"),
    [("7", 7), ("007", 7), ("", None), ("-1", None), ("1.5", None), ("1" * 5000, None)],
)
def test_a_number_is_read_only_where_there_is_one(typed: str, number: int | None) -> None:
    assert read_number(typed) == number
