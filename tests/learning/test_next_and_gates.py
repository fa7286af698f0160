"""What comes next, and what a gate waits for: right and wrong by the job engine.

The engine walks out of order (`free_walk`); the rest is read off the procedure, never of `holds`.
"""

from collections.abc import Sequence
from random import Random

import pytest
from any_procedures import procedures
from at_hand import DECKS, questions, right_name
from bay import SMALL
from free_walk import FreeWalk, a_vehicle, every_walk
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.state.gates import missing
from baycompanion.learning.drill.condition_words import condition_words
from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.question import Question, put_question
from baycompanion.procedure.conditions import AnyOf, leaves, step_named
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.walk import held_by


@pytest.fixture(params=DECKS)
def deck(request: pytest.FixtureRequest) -> Deck:
    """Return the deck of each procedure at hand."""
    return DECKS[request.param]


def some_vehicles(procedure: Procedure) -> list[FreeWalk]:
    """Return some vehicles, where there are too many to try all."""
    chance = Random(7)
    return [a_vehicle(procedure, chance) for _ in range(12)]


def check_next(question: Question, procedure: Procedure, walks: Sequence[FreeWalk]) -> int:
    """Hold a question about what comes next against every vehicle it is about; count them."""
    after, right = str(question.card.step), right_name(question)
    seen = 0
    for walk in walks:
        if not {after, right} <= set(walk.applying):
            continue
        seen += 1
        place = walk.applying.index(after)
        done = frozenset(walk.applying[: place + 1])
        assert walk.applying[place + 1] == right
        assert walk.may(done, right)
        for option in question.options:
            if option.name != right and option.name in walk.applying:
                assert option.name in done or not walk.may(done, option.name), option
            assert option.words == procedure.steps[option.name].text
    return seen


@given(procedures(), st.integers(0, 9))
def test_what_comes_next_is_the_next_step_and_no_other_may(procedure: Procedure, seed: int) -> None:
    deck, walks = make_deck(procedure), every_walk(procedure)
    for card in deck.cards:
        if card.kind == "next":
            assert check_next(put_question(deck, card, seed), procedure, walks)


def test_what_comes_next_in_the_procedures_at_hand(deck: Deck) -> None:
    walks = some_vehicles(deck.procedure)
    seen = [check_next(each, deck.procedure, walks) for each in questions(deck, "next")]
    assert sum(map(bool, seen)) > len(seen) / 2


def test_what_a_bad_answer_leads_back_to_is_not_called_wrong() -> None:
    deck = DECKS["key-off-draw-hunt"]
    (card,) = [card for card in deck.cards if card.name.endswith("/next/culprit-proved")]
    offered = {o.name for seed in range(40) for o in put_question(deck, card, seed).options}
    assert "culprit" not in offered  # a step done already, which it leads back to
    assert "load-unplugged" in offered  # another one done already


def check_gate(question: Question, procedure: Procedure, walks: Sequence[FreeWalk]) -> None:
    """Hold a question about a gate against what the gate says, and against the engine."""
    gate, right = procedure.all_gates[str(question.card.gate)], right_name(question)
    named = {step_named(leaf) for leaf in leaves(gate.until)}
    if question.card.gate in {each.gate for each in procedure.gates}:
        assert right in named or right.startswith("no-open-fault") or "|" in right
        assert question.why == gate.because
    held = held_by(procedure, gate.holds)
    for option in question.options:
        if option.name == right or option.name not in procedure.steps:
            continue
        assert option.name not in named
        opens = []
        for walk in walks:
            first = next((name for name in held if name in walk.applying), None)
            if first not in (None, option.name) and option.name in walk.applying:
                done = walk.all_without(option.name)
                opens.append(first in done and not missing(procedure, walk.state(done), gate))
        assert all(opens), option


@given(procedures(), st.integers(0, 9))
def test_a_gate_waits_for_what_is_right_and_opens_without_what_is_wrong(
    procedure: Procedure, seed: int
) -> None:
    deck, walks = make_deck(procedure), every_walk(procedure)
    for card in deck.cards:
        if card.kind == "gate":
            check_gate(put_question(deck, card, seed), procedure, walks)


def test_gates_of_the_procedures_at_hand(deck: Deck) -> None:
    walks = some_vehicles(deck.procedure)[:3]
    cards = [card for card in deck.cards if card.kind == "gate"]
    for card in cards[::2]:
        check_gate(put_question(deck, card, 3), deck.procedure, walks)


def test_a_condition_that_has_to_be_met_is_missed_where_it_is_not(deck: Deck) -> None:
    for question in questions(deck, "gate"):
        right = right_name(question)
        gate = deck.procedure.all_gates[str(question.card.gate)]
        if right in deck.procedure.steps:
            chance = Random(question.card.name)
            for walk in (a_vehicle(deck.procedure, chance) for _ in range(6)):
                if right in walk.applying:
                    everything_else = frozenset(walk.applying) - {right}
                    assert missing(deck.procedure, walk.state(everything_else), gate)


def test_alternatives_say_what_belongs_together() -> None:
    """Without brackets, “A, or B, and C” can be read either way."""
    [nested] = [
        each for each in SMALL.all_gates["sound-before-refit"].until if isinstance(each, AnyOf)
    ]
    _, words = condition_words(SMALL, nested)
    assert words == (
        "“Set the stations again in order” agrees with what was there before, or "
        "(“Write the stations down in order” is done, and "
        "No fault is open, of this job or of the vehicle)"
    )


def test_what_a_phase_needs_on_the_bench_is_told_from_what_comes_later(deck: Deck) -> None:
    procedure = deck.procedure
    by = {thing.tool: thing.by for thing in procedure.tools}
    by |= {thing.part: thing.by for thing in procedure.parts}
    order = [phase.phase for phase in procedure.phases]
    seen = 0
    for question in questions(deck, "gate"):
        if str(question.card.gate).startswith("on-bench-for-"):
            seen += 1
            for option in question.options:
                needed = order.index(str(by[option.name]))
                here = order.index(question.card.phase)
                assert needed == here if option.name == right_name(question) else needed > here
    assert seen or deck.procedure.procedure == "second-person"
