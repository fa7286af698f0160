"""What comes next: asked at every junction, between steps that may not follow and the right one."""

import pytest
from bay import SMALL
from practice import PracticeBay

from baycompanion.job.events.practice_kinds import NextSaid
from baycompanion.job.practice_actions import SayNext
from baycompanion.learning.practice.what_next import (
    LEAST_CHOICES,
    MOST_CHOICES,
    SHARE,
    asks_next,
    may_not_follow,
    next_choices,
)
from baycompanion.procedure.conditions import leaves, step_named

SEEDS = range(1, 6)


def at(step: str, seed: int = 1) -> PracticeBay:
    """Return a practice, walked honestly until `step` is in hand."""
    bay = PracticeBay(seed=seed).walk(to=step)
    assert bay.state.current == step
    return bay


@pytest.mark.parametrize("seed", SEEDS)
def test_it_is_asked_at_the_first_step_of_every_phase(seed: int) -> None:
    assert all(asks_next(SMALL, seed, phase.steps[0]) for phase in SMALL.phases)


@pytest.mark.parametrize("seed", SEEDS)
def test_it_is_asked_at_what_gates_wait_for_and_first_hold(seed: int) -> None:
    waited = {step_named(each) for gate in SMALL.gates for each in leaves(gate.until)} - {None}
    assert all(asks_next(SMALL, seed, SMALL.steps[str(step)]) for step in waited)
    assert asks_next(SMALL, seed, SMALL.steps["out"])  # what reserve-before-dash holds


def test_of_the_others_it_is_a_share_and_not_the_same_for_every_seed() -> None:
    asked = [
        {step.id for step in SMALL.steps.values() if asks_next(SMALL, seed, step)}
        for seed in range(1, 40)
    ]
    always = set.intersection(*asked)
    others = set(SMALL.steps) - always
    assert others, "some step stands at no junction"
    share = sum(len(each - always) for each in asked) / (len(others) * len(asked))
    assert abs(share - SHARE) < 0.1
    assert len({frozenset(each) for each in asked}) > 1


@pytest.mark.parametrize("step", ["rest-voltage", "reserve", "gauges", "sound", "back"])
@pytest.mark.parametrize("seed", SEEDS)
def test_the_right_one_is_among_them_and_may_follow_all_others_may_not(
    step: str, seed: int
) -> None:
    bay = at(step, seed)
    choices = next_choices(bay.procedure, bay.state, SMALL.steps[step], seed)
    assert step in {each.id for each in choices}
    assert len({each.id for each in choices}) == len(choices) <= MOST_CHOICES
    wrong = [each for each in choices if may_not_follow(bay.procedure, bay.state, each)]
    if len(choices) > LEAST_CHOICES:
        assert len(wrong) == len(choices) - 1
    for each in choices:
        told = bay_after(bay, each.id)
        assert told.right == (each not in wrong), each.id


def bay_after(bay: PracticeBay, said: str) -> NextSaid:
    """Return what is kept of `said` for what comes next, which is then forgotten again."""
    state, events = bay.state, list(bay.events)
    bay.do(SayNext(say_next=said))
    [kept] = [e.data for e in bay.events[len(events) :] if isinstance(e.data, NextSaid)]
    bay.state, bay.events = state, events
    return kept


def test_the_same_seed_gives_the_same_order_and_the_right_one_has_no_fixed_place() -> None:
    bay, due = at("reserve"), SMALL.steps["reserve"]
    orders = [next_choices(bay.procedure, bay.state, due, seed) for seed in range(1, 13)]
    assert orders[0] == next_choices(bay.procedure, bay.state, due, 1)
    assert len({order.index(due) for order in orders}) > 1
