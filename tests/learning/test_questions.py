"""Questions made from a procedure: what is right is right by its own rules, what is wrong is wrong.

The rules are asked of the job engine (`free_walk`) and read off the procedure, never of `holds`.
"""

from collections.abc import Sequence
from itertools import permutations
from random import Random

import pytest
from any_procedures import procedures
from at_hand import FILES, RECEIVER
from free_walk import FreeWalk, a_vehicle, every_walk
from hypothesis import given, settings
from hypothesis import strategies as st

from baycompanion.job.gates import missing
from baycompanion.learning.deck import Deck, make_deck
from baycompanion.learning.question import MOST_WRONG, Question, judge, put_question
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Measure
from baycompanion.procedure.walk import held_by
from baycompanion.store.shelf import read_procedure

DECKS = {path.stem: make_deck(read_procedure(path).procedure) for path in FILES}
SEEDS = range(4)


@pytest.fixture(params=DECKS)
def deck(request: pytest.FixtureRequest) -> Deck:
    """Return the deck of each procedure at hand."""
    return DECKS[request.param]


def questions(deck: Deck, *kinds: str) -> list[Question]:
    """Return the questions of these kinds (all, where none is named), with a few seeds each."""
    cards = [card for card in deck.cards if not kinds or card.kind in kinds]
    return [put_question(deck, card, seed) for card in cards for seed in SEEDS]


def walks_of(procedure: Procedure, shipped: bool) -> Sequence[FreeWalk]:
    """Return the vehicles to try: all of them, or some where there are too many."""
    if not shipped:
        return every_walk(procedure)
    chance = Random(7)
    return [a_vehicle(procedure, chance) for _ in range(12)]


def right_name(question: Question) -> str:
    """Return the right answer of a question with one."""
    (only,) = question.accepted
    return only[0]


# All kinds


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


# What comes next


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


@settings(max_examples=100)
@given(procedures(), st.integers(0, 9))
def test_what_comes_next_is_the_next_step_and_no_other_may(procedure: Procedure, seed: int) -> None:
    deck, walks = make_deck(procedure), every_walk(procedure)
    for card in deck.cards:
        if card.kind == "next":
            assert check_next(put_question(deck, card, seed), procedure, walks)


def test_what_comes_next_in_the_procedures_at_hand(deck: Deck) -> None:
    walks = walks_of(deck.procedure, shipped=True)
    seen = [check_next(each, deck.procedure, walks) for each in questions(deck, "next")]
    assert sum(map(bool, seen)) > len(seen) / 2


def test_what_a_bad_answer_leads_back_to_is_not_called_wrong() -> None:
    deck = DECKS["key-off-draw-hunt"]
    (card,) = [card for card in deck.cards if card.name.endswith("/next/culprit-proved")]
    offered = {o.name for seed in range(40) for o in put_question(deck, card, seed).options}
    assert "culprit" not in offered  # a step done already, which it leads back to
    assert "fuse-back" in offered  # another one done already


# What must be true before a gate


def check_gate(question: Question, procedure: Procedure, walks: Sequence[FreeWalk]) -> None:
    """Hold a question about a gate against what the gate says, and against the engine."""
    gate, right = procedure.all_gates[str(question.card.gate)], right_name(question)
    named = {step_named(leaf) for leaf in leaves(gate.until)}
    if question.card.gate in {each.gate for each in procedure.gates}:
        assert right in named or right.startswith("no-open-fault") or "|" in right
        assert question.why == gate.because
    first = held_by(procedure, gate.holds)[0]
    for option in question.options:
        if option.name == right or option.name not in procedure.steps:
            continue
        assert option.name not in named
        there = [walk for walk in walks if {first, option.name} <= set(walk.applying)]
        opens = [
            not missing(procedure, walk.state(walk.all_without(option.name)), gate)
            and first in walk.all_without(option.name)
            for walk in there
        ]
        assert all(opens), option


@settings(max_examples=100)
@given(procedures(), st.integers(0, 9))
def test_a_gate_waits_for_what_is_right_and_opens_without_what_is_wrong(
    procedure: Procedure, seed: int
) -> None:
    deck, walks = make_deck(procedure), every_walk(procedure)
    for card in deck.cards:
        if card.kind == "gate":
            check_gate(put_question(deck, card, seed), procedure, walks)


def test_gates_of_the_procedures_at_hand(deck: Deck) -> None:
    walks = walks_of(deck.procedure, shipped=True)[:3]
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


# Cautions, tools


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


# Orders


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


@settings(max_examples=150)
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
    orders = [a_vehicle(procedure, chance).walk(chance) for _ in range(12)]
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
