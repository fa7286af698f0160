"""Which orders a procedure allows, held against the job engine that walks it in any order."""

import random
from collections.abc import Iterator
from itertools import permutations

import pytest
from any_procedures import procedures
from at_hand import FILES, RECEIVER
from free_walk import a_vehicle, allowed_somewhere, every_walk
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.learning.orders.holds import Holds, is_allowed, may_follow
from baycompanion.procedure.model import Procedure
from baycompanion.store.shelf import read_procedure


def orders_tried(procedure: Procedure, data: st.DataObject) -> Iterator[tuple[str, ...]]:
    """Yield every order of two steps, and every order of some more."""
    yield from permutations(procedure.steps, 2)
    named = data.draw(st.permutations(list(procedure.steps)))
    yield from permutations(named[: data.draw(st.integers(3, 4))])


@given(procedures(), st.data())
def test_no_order_that_the_engine_allows_is_called_wrong(
    procedure: Procedure, data: st.DataObject
) -> None:
    walks, holds = every_walk(procedure), Holds(procedure)
    for order in orders_tried(procedure, data):
        if allowed_somewhere(walks, order):
            assert holds.is_allowed(order), order


@given(procedures(choosing=False), st.data())
def test_without_choices_what_is_allowed_is_just_what_the_engine_allows(
    procedure: Procedure, data: st.DataObject
) -> None:
    walks, holds = every_walk(procedure), Holds(procedure)
    for order in orders_tried(procedure, data):
        assert holds.is_allowed(order) == allowed_somewhere(walks, order), order


@pytest.fixture(scope="module", params=FILES, ids=lambda path: path.stem)
def procedure(request: pytest.FixtureRequest) -> Procedure:
    return read_procedure(request.param).procedure


def test_the_order_of_the_file_is_never_wrong(procedure: Procedure) -> None:
    holds = Holds(procedure)
    assert holds.is_allowed(list(procedure.steps))
    for number, step in enumerate(procedure.steps):
        assert holds.may_follow(set(list(procedure.steps)[:number]), step)


@given(procedures(), st.data())
def test_no_part_of_the_order_of_the_file_is_wrong(
    procedure: Procedure, data: st.DataObject
) -> None:
    some = data.draw(st.sets(st.sampled_from(list(procedure.steps))))
    assert is_allowed(procedure, sorted(some, key=procedure.number.__getitem__))


def test_what_a_walk_out_of_order_comes_to_is_allowed_in_every_part(procedure: Procedure) -> None:
    chance, holds = random.Random(procedure.procedure), Holds(procedure)
    for _ in range(4):
        order = a_vehicle(procedure, chance).walk(chance)
        assert holds.is_allowed(order)
        for _ in range(40):
            some = set(chance.sample(order, chance.randint(2, min(6, len(order)))))
            part = [step for step in order if step in some]
            assert holds.is_allowed(part), part


@given(procedures(), st.data())
def test_every_allowed_order_of_some_steps_is_found_and_no_other(
    procedure: Procedure, data: st.DataObject
) -> None:
    holds = Holds(procedure)
    steps = data.draw(st.permutations(list(procedure.steps)))[:4]
    orders = holds.orders_of(steps)
    assert set(orders) == {order for order in permutations(steps) if holds.is_allowed(order)}
    assert orders[0] == tuple(sorted(steps, key=procedure.number.__getitem__))
    assert len(set(orders)) == len(orders)


@given(procedures())
def test_one_step_stands_before_another_where_no_order_has_it_after(procedure: Procedure) -> None:
    holds = Holds(procedure)
    for first, then in permutations(procedure.steps, 2):
        if holds.together.ever((first, then)):
            assert holds.stands_before(first, then) == (not holds.is_allowed((then, first)))
        else:
            assert not holds.stands_before(first, then)


def test_a_step_between_two_holds_them_apart_though_nobody_names_it() -> None:
    procedure = read_procedure(RECEIVER).procedure
    # battery-off, power-gone and the gate before teardown: the reading in between is not named
    assert not is_allowed(procedure, ("trim-off", "battery-off"))
    assert is_allowed(procedure, ("battery-off", "trim-off"))
    assert is_allowed(procedure, ("harness-fits", "antenna-fits"))
    assert is_allowed(procedure, ("antenna-fits", "harness-fits"))


def test_a_step_twice_is_no_order_and_an_unknown_one_is_told(procedure: Procedure) -> None:
    step = next(iter(procedure.steps))
    assert not is_allowed(procedure, (step, step))
    assert is_allowed(procedure, ())
    with pytest.raises(KeyError):
        is_allowed(procedure, ("no-such-step",))
    with pytest.raises(KeyError):
        may_follow(procedure, (), "no-such-step")


@given(procedures())
def test_a_choice_is_settled_before_what_hangs_on_it(procedure: Procedure) -> None:
    holds = Holds(procedure)
    for step in procedure.steps.values():
        phase = procedure.phase_of[step.id]
        for choice in {*step.when, *step.unless, *phase.when, *phase.unless}:
            assert holds.stands_before(f"ask-{choice}", step.id)
