"""Questions made from a procedure: what holds for all kinds, cautions and tools among them."""

import pytest
from any_procedures import procedures
from at_hand import DECKS, FILES, RECEIVER, questions, right_name
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.question import MOST_WRONG, Question, judge, put_question
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Measure
from baycompanion.store.shelf import read_procedure


@pytest.fixture(params=DECKS)
def deck(request: pytest.FixtureRequest) -> Deck:
    """Return the deck of each procedure at hand."""
    return DECKS[request.param]


def test_every_kind_of_question_comes_from_what_ships() -> None:
    for path in FILES[:3]:
        kinds = {card.kind for card in DECKS[path.stem].cards}
        assert kinds == {"next", "gate", "caution", "tool", "limit", "order", "misplaced"}
        assert DECKS[path.stem].fewer == ()


def check_options(question: Question) -> None:
    """See that all options differ in words and in names, and that one of them is right."""
    words = [option.words.casefold().rstrip(".") for option in question.options]
    names = [option.name for option in question.options]
    assert len(set(words)) == len(words), words
    assert len(set(names)) == len(names), names
    assert question.asks.endswith(("?", "."))
    assert all(question.lead)
    for answer in question.accepted:
        assert set(answer) <= set(names)
        assert judge(question, answer).right
    assert not judge(question, ("no-such-option",)).right
    assert not judge(question, ()).right
    if question.card.kind not in ("order", "misplaced"):
        assert 3 <= len(question.options) <= 4
        rejected = [name for name in names if not judge(question, (name,)).right]
        assert len(rejected) == len(names) - 1
        assert judge(question, (rejected[0],)).words in [o.words for o in question.options]


def test_options_differ_and_the_right_one_is_among_them(deck: Deck) -> None:
    for question in questions(deck):
        check_options(question)


@given(procedures(), st.integers())
def test_options_of_any_procedure_differ_and_the_right_one_is_among_them(
    procedure: Procedure, seed: int
) -> None:
    deck = make_deck(procedure)
    for card in deck.cards:
        question = put_question(deck, card, seed)
        check_options(question)
        assert question == put_question(make_deck(procedure), card, seed)


def test_a_seed_draws_the_same_answers_and_others_draw_others(deck: Deck) -> None:
    again = make_deck(deck.procedure)
    assert again == deck
    for card in deck.cards:
        drawn = [put_question(deck, card, seed) for seed in range(8)]
        assert drawn == [put_question(again, card, seed) for seed in range(8)]
        if len(drawn[0].options) == 4:  # options in another order, at the least
            assert len({question.options for question in drawn}) > 1


def test_other_seeds_draw_other_wrong_answers_where_there_are_enough() -> None:
    deck = DECKS["receiver-swap"]
    for card in deck.cards:
        drawn = [put_question(deck, card, seed).options for seed in range(12)]
        as_lists = card.kind in ("order", "misplaced")
        kept = set(drawn) if as_lists else set(map(frozenset, drawn))
        enough = as_lists or sum(map(len, deck.asked[card.name].wrongs)) > MOST_WRONG
        assert (len(kept) > 1) == enough, card.name


def test_wrong_answers_come_from_the_same_phase_first(deck: Deck) -> None:
    phase_of = deck.procedure.phase_of
    for card in deck.cards:
        if card.kind == "next":
            drawn = [put_question(deck, card, seed) for seed in range(30)]
            offered = {o.name for question in drawn for o in question.options}
            right = right_name(drawn[0])
            here = (phase_of[str(card.step)], phase_of[right])
            near = {name for name in offered if phase_of[name] in here} - {right}
            for question in drawn:
                wrong = {option.name for option in question.options} - {right}
                assert len(wrong & near) >= min(2, len(near)), card.name


def test_cards_have_names_of_their_own_and_stand_in_order(deck: Deck) -> None:
    names = [card.name for card in deck.cards]
    assert len(set(names)) == len(names)
    assert len({card.face for card in deck.cards}) == len(names)
    number = deck.procedure.number
    steps = [number[card.step] for card in deck.cards if card.step]
    assert steps == sorted(steps)
    for card in deck.cards:
        assert card.name.startswith(f"{deck.procedure.procedure}/{card.kind}/")
        assert card.phase in deck.procedure.phase_named


def test_a_caution_stands_before_its_step_and_the_others_do_not(deck: Deck) -> None:
    for question in questions(deck, "caution"):
        own = deck.procedure.steps[str(question.card.step)].cautions
        said = {f"{each.signal.capitalize()}: {each.hazard}": each for each in own}
        (right,) = [o.words for o in question.options if o.name == right_name(question)]
        assert question.why == f"{said[right].consequence} {said[right].avoid}"
        for option in question.options:
            assert (option.words in said) == (option.name == right_name(question))
            assert option.words.partition(": ")[2] not in {
                each.hazard for each in own if option.words != right
            }


def test_a_tool_is_one_that_the_step_uses_and_the_others_are_not(deck: Deck) -> None:
    for question in questions(deck, "tool"):
        step = deck.procedure.steps[str(question.card.step)]
        used = {*step.tools, step.instrument if isinstance(step, Measure) else None}
        for option in question.options:
            assert (option.name in used) == (option.name == right_name(question))
        assert question.why == step.why


def test_a_card_of_another_deck_is_not_put() -> None:
    with pytest.raises(KeyError):
        put_question(DECKS["second-person"], DECKS["receiver-swap"].cards[0], 1)


def test_the_receiver_gives_the_questions_one_would_ask() -> None:
    deck = make_deck(read_procedure(RECEIVER).procedure)
    by_name = {card.name.removeprefix("receiver-swap/"): card for card in deck.cards}
    limit = put_question(deck, by_name["limit/power-gone"], 1)
    assert limit.asks == "Which limits hold for this reading?"
    assert judge(limit, limit.accepted[0]).words == "0.5 V or less"
    tool = put_question(deck, by_name["tool/trim-off"], 1)
    assert judge(tool, tool.accepted[0]).words == "Plastic trim tools"
    gate = put_question(deck, by_name["gate/no-short"], 1)
    assert right_name(gate) == "short-to-ground"
    assert gate.why == "Power on a short burns the harness where nobody sees it."
    then = put_question(deck, by_name["next/battery-off"], 1)
    assert right_name(then) == "airbag-reserve"
    assert "Airbags or belt tensioners: yes." in then.lead
