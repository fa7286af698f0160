"""A card becomes lines in reading order, without signs, colours or anything made for the eye."""

from dataclasses import replace

import pytest
from bay import GOOD, SMALL, SMALL_TEXT, Bay, tick

from baycompanion.job.actions import Accept, Acknowledge, Answer
from baycompanion.plain.reading import (
    are_options,
    read_card,
    read_form,
    read_sequence,
    read_words,
    same_card,
    without_sign,
)
from baycompanion.procedure.load import load_procedure
from baycompanion.views.card.card import Card, Deed, Field, Form, Key, Piece, Row
from baycompanion.views.card.cards import job_card
from baycompanion.views.card.place import sequence

DEED = Deed(Accept(accept="hazards"))


def card_of(bay: Bay) -> Card:
    return job_card(bay.procedure, bay.state, (), bay.now)


def test_a_card_is_read_from_where_it_stands_to_what_belongs_to_it() -> None:
    card = Card(
        kind="step",
        heading="Step 3 of 9",
        title="Join the leads.",
        before=(Piece("warning", "WARNING  A cutter is sharp. Cut away from the hand."),),
        pieces=(Piece("label", "Tools: cutter"), Piece("plain", "• One cap for each pair.")),
    )
    assert read_card(card, "A loose joint heats up.") == [
        "Step 3 of 9.",
        "WARNING: A cutter is sharp. Cut away from the hand.",
        "Join the leads.",
        "Tools: cutter",
        "One cap for each pair.",
        "Why: A loose joint heats up.",
    ]


def test_the_hazards_of_the_whole_job_are_read_first() -> None:
    assert read_card(card_of(Bay())) == [
        "Before the first step.",
        "Does this procedure fit? Has this vehicle one opening in the dash?",
        "WARNING: Airbags lie behind the dash.",
        "An airbag that fires breaks bones. Follow the vehicle maker's instructions before you "
        "open the dash.",
        "These stand for the whole job.",
    ]


def test_a_caution_is_read_hazard_consequence_avoidance() -> None:
    assert read_card(card_of(Bay().walk("disconnect"))) == [
        "Step 13 of 33: read this first.",
        "DANGER: The battery can arc.",
        "An arc burns eyes and hands.",
        "Take the negative clamp off first.",
        "Then: Disconnect the battery.",
    ]


def test_two_cautions_of_one_step_are_two_cards() -> None:
    bay = Bay().walk("disconnect")
    first = card_of(bay)
    bay.do(Acknowledge(acknowledge="disconnect", caution=0))
    assert not same_card(card_of(bay), first)


def test_a_list_stays_one_card_while_its_lines_are_answered() -> None:
    bay = Bay().walk("panels")
    first = card_of(bay)
    bay.do(tick("panels", "dash-panel", "unmarked"))
    assert same_card(card_of(bay), first)
    assert not same_card(first, None)


def test_a_wait_stays_one_card_while_its_time_passes() -> None:
    bay = Bay().walk("cure")
    later = job_card(SMALL, bay.state, (), bay.now.replace(minute=(bay.now.minute + 1) % 60))
    assert same_card(later, card_of(bay))


@pytest.mark.parametrize(
    ("step", "read"),
    [
        ("join", "Photo: required (photo)"),  # lines to tick: a word stands as it is
        ("odometer", "Photo: wanted (?photo)"),  # F3 typed there would be the odometer's answer
        ("cure", "No time to stand by? Pause (pause): the wait runs on."),
    ],
)
def test_a_key_of_the_screens_is_read_as_the_word_that_is_typed(step: str, read: str) -> None:
    text = SMALL_TEXT.replace(
        "        id: odometer\n", "        id: odometer\n        photo: wanted\n"
    )
    bay = Bay(load_procedure(text, "p.yaml").procedure).walk(step)
    while (card := card_of(bay)).kind in ("caution", "standing"):
        bay.do(GOOD[step][0])
    assert read in read_card(card)


def test_a_fuse_that_is_called_like_a_key_keeps_its_name() -> None:
    card = replace(card_of(Bay().walk("odometer")), pieces=(Piece("plain", "F3 feeds the radio."),))
    assert "F3 feeds the radio." in read_card(card)


def test_the_list_before_is_read_entry_by_entry() -> None:
    lines = read_card(card_of(Bay().walk("stations-back")))
    assert lines[-3:] == ["Before, 1: 88.1", "Before, 2: 94.7", "Before, 3: 101.1"]


def test_what_a_gate_waits_for_is_read_with_numbers() -> None:
    bay = Bay().held(sound=[Answer(answer="sound", outcome="not fitted")])
    lines = read_card(card_of(bay))
    assert lines[:4] == [
        "Gate shut: sound-before-refit.",
        "An opened dash marks the panels.",
        "A supervisor may override it.",
        "It opens when this is settled:",
    ]
    assert lines[4].startswith("1. ")


def test_many_answers_are_read_as_numbered_lines() -> None:
    rows = tuple(Row(f"a{n}", "·", "", f"Answer {n}", keys=(Key("1", "x", DEED),)) for n in "12")
    card = Card("step", "Step 1 of 1", "Which?", rows=rows)
    assert are_options(card)
    assert read_card(card)[-2:] == ["1. Answer 1", "2. Answer 2"]


@pytest.mark.parametrize(
    ("words", "read"),
    [
        ("DANGER  It arcs.", "DANGER: It arcs."),
        ("• A detail.", "A detail."),
        ("A NOTICE  inside", "A NOTICE  inside"),
        ("", ""),
    ],
)
def test_what_is_made_for_the_eye_is_put_into_words(words: str, read: str) -> None:
    assert read_words(words) == read


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("✓ 3. Done. done", "3. Done. done"),
        ("! MUST STAY TRUE: x", "MUST STAY TRUE: x"),
        ("3 of 4", "3 of 4"),
        ("plain", "plain"),
        ("", ""),
    ],
)
def test_a_mark_before_a_line_is_left_out(line: str, read: str) -> None:
    assert without_sign(line) == read


def test_a_form_says_how_many_questions_follow_and_what_comes_then() -> None:
    form = Form("Pause", (Field("a", "A"), Field("b", "B")), dict, (Piece("bad", "Lead."),), "Stop")
    assert read_form(form) == ["Pause", "Lead.", "2 questions, then: Stop."]


def test_the_sequence_is_read_in_words() -> None:
    lines = list(read_sequence(sequence(SMALL, Bay().walk("odometer").state)))
    assert lines[:2] == ["Phase: Take-in", "1. Is there a factory amplifier? – done"]
    assert "5. Write the odometer down. – now" in lines
    assert "Gate sound-before-refit: ahead" in lines
    assert len([line for line in lines if line[:1].isdigit()]) == len(SMALL.steps)
