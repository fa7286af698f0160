"""Steps put in order, and the one out of its place: accepted is what the job engine allows."""

from collections.abc import Sequence
from itertools import permutations
from random import Random

import pytest
from any_procedures import procedures
from at_hand import DECKS, questions
from free_walk import FreeWalk, a_vehicle, every_walk
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.question import Question, judge, put_question
from baycompanion.procedure.model import Procedure


@pytest.fixture(params=DECKS)
def deck(request: pytest.FixtureRequest) -> Deck:
    """Return the deck of each procedure at hand."""
    return DECKS[request.param]


def check_order(question: Question, walks: Sequence[FreeWalk], exact: bool) -> None:
    """Hold the accepted orders against the engine: all that it allows, and no other if exact."""
    names = [option.name for option in question.options]
    there = [walk for walk in walks if set(names) <= set(walk.applying)]
    allowed = {order for order in permutations(names) if any(w.allows(order) for w in there)}
    accepted = set(question.accepted)
    assert allowed <= accepted
    assert not exact or allowed == accepted
    assert tuple(names) not in accepted
    assert len(accepted) <= len(set(permutations(names))) / 2
    for order in permutations(names):
        assert judge(question, order).right == (order in accepted)


def check_misplaced(question: Question, walks: Sequence[FreeWalk], exact: bool) -> None:
    """Hold the list and the lines to blame against the engine."""
    lines = tuple(option.name for option in question.options)
    there = [walk for walk in walks if set(lines) <= set(walk.applying)]
    assert not any(walk.allows(lines) for walk in there)
    blamed = {name for (name,) in question.accepted}
    assert blamed < set(lines)
    for name in lines:
        rest = [each for each in lines if each != name]
        allowed = any(walk.allows(rest) for walk in there)
        assert name in blamed or not allowed
        assert not exact or allowed == (name in blamed)
        assert judge(question, (name,)).right == (name in blamed)


@given(procedures(), st.integers(0, 9))
def test_orders_of_any_procedure(procedure: Procedure, seed: int) -> None:
    deck, walks = make_deck(procedure), every_walk(procedure)
    for card in deck.cards:
        question = put_question(deck, card, seed)
        if card.kind == "order":
            check_order(question, walks, exact=not procedure.choices)
        if card.kind == "misplaced":
            check_misplaced(question, walks, exact=not procedure.choices)


def test_an_order_in_which_the_engine_lets_a_job_be_done_is_accepted(deck: Deck) -> None:
    procedure, chance, held = deck.procedure, Random(3), 0
    orders = [a_vehicle(procedure, chance).walk(chance) for _ in range(8)]
    for question in questions(deck, "order", "misplaced"):
        names = {option.name for option in question.options}
        shown = tuple(option.name for option in question.options)
        for order in (tuple(s for s in order if s in names) for order in orders):
            if len(order) == len(names):
                held += 1
                assert order != shown
                assert question.card.kind != "order" or judge(question, order).right
    assert held > 20


def test_the_order_of_the_file_is_right_and_another_one_allowed_shows_it(deck: Deck) -> None:
    number = deck.procedure.number
    for question in questions(deck, "order"):
        own = tuple(sorted((o.name for o in question.options), key=number.__getitem__))
        assert question.accepted[0] == question.own_order == own
        verdict = judge(question, own)
        assert verdict.right
        assert verdict.words.startswith("The procedure's own order: 1. “")
        places = [verdict.words.find(f"{place}. “") for place in range(1, len(own) + 1)]
        assert places == sorted(places)
        assert -1 not in places
        for other in question.accepted[1:]:
            assert (
                judge(question, other).words
                == f"The gates allow this order as well. {verdict.words}"
            )
        wrong = tuple(option.name for option in question.options)
        assert judge(question, wrong).words == verdict.words


def test_the_steps_to_put_in_order_are_five_where_there_are_five() -> None:
    for question in questions(DECKS["receiver-swap"], "order", "misplaced"):
        phase = DECKS["receiver-swap"].procedure.phase_named[question.card.phase]
        assert len(question.options) == 5 or len(phase.steps) < 5
        assert len(question.options) >= 3


def test_a_line_that_is_moved_is_named_with_where_it_belongs() -> None:
    for question in questions(DECKS["receiver-swap"], "misplaced"):
        moved, *others = (name for (name,) in question.accepted)
        text = DECKS["receiver-swap"].procedure.steps[moved].text.rstrip(".")
        assert judge(question, (moved,)).words.startswith(f"Out of its place is “{text}”. The")
        for other in others:
            assert judge(question, (other,)).words.startswith("Without this line the list is")
