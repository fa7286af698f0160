"""Steps of practice in any order: every job still comes to its end, and nothing is forgotten."""

from random import Random

import pytest
from any_actions import SECONDS, STEPS, next_actions
from bay import N1, SMALL, Bay
from hypothesis import given, settings
from hypothesis import strategies as st
from practice import PracticeBay

from baycompanion.job.actions import Accept, Answer, Reopen
from baycompanion.job.deciding.decide import Decided
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.deciding.practising import gates_run_into
from baycompanion.job.events.practice_kinds import RanInto
from baycompanion.job.practice_actions import TakeUp
from baycompanion.job.record.making import make_record
from baycompanion.job.state.fold import fold, fold_all
from baycompanion.job.state.gates import gates_holding, missing
from baycompanion.job.state.order import next_step, rests_on, step_applies
from baycompanion.learning.practice.summary import summarise
from baycompanion.learning.practice.vehicle import make_vehicle, seen_at, truthful
from baycompanion.store.shelf import read_procedure, shipped

EVERY = {
    "small-receiver": SMALL,
    **{
        name: read_procedure(shipped("procedures") / f"{name}.yaml").procedure
        for name in ("receiver-swap", "dash-camera-hardwire", "key-off-draw-hunt")
    },
}


def wander(bay: PracticeBay, chance: Random, jumps: int) -> None:
    """Walk honestly, but jump to any step now and then; every state is looked at on the way."""
    bay.do(Accept(accept="hazards"))
    for _ in range(4000):
        if jumps and chance.random() < 0.15:
            jumps -= 1
            jump(bay, chance.choice(list(bay.procedure.steps)))
        done = truthful(bay.made, bay.procedure, bay.state)
        if done is None:
            return
        action, who = done
        bay.let_run_out(action)
        bay.do(action, who=who)
        holds_together(bay)
    raise AssertionError(f"no end, {bay.state.current} in hand")


def jump(bay: PracticeBay, name: str) -> None:
    """Take up the step called `name`; what is refused must rest on what is not there."""
    procedure, before, step = bay.procedure, bay.state, bay.procedure.steps[name]
    against = [gate.gate for gate, _ in gates_run_into(procedure, before, step)]
    decided = bay.decide(TakeUp(take_up=name))
    if isinstance(decided, Decided):
        assert bay.state.current == name
        told = [each.data.gate for each in decided.events if isinstance(each.data, RanInto)]
        assert told == against
        for each in rests_on(procedure, step):
            applies = step_applies(procedure, bay.state, procedure.steps[each])
            assert before.track(each).finished or not applies
        return
    done = before.track(name).finished or before.current == name
    apart = not step_applies(procedure, before, step)
    assert done or apart or decided.opens_by
    assert all(not before.track(thing.step or "").finished for thing in decided.opens_by) or done


def holds_together(bay: PracticeBay) -> None:
    """Look at what must be true of any practice at any time."""
    state, procedure = bay.state, bay.procedure
    if state.current is not None:
        assert not state.track(state.current).finished
        assert step_applies(procedure, state, procedure.steps[state.current])
        due = next_step(procedure, state)
        assert due is not None and (state.taken_up or due.id == state.current)
    for name, track in state.gates.items():
        if track.standing == "open" and name in procedure.all_gates:
            things = missing(procedure, state, procedure.all_gates[name])
            # A gate that was passed is not shut by a fault that is raised behind it, as ever.
            assert all(thing.words.startswith("Fault ") for thing in things)


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("seed", range(3))
def test_any_order_comes_to_the_end(name: str, seed: int) -> None:
    bay = PracticeBay(EVERY[name], seed, 3)
    wander(bay, Random(seed), 12)
    assert bay.state.status == "closed", (bay.state.current, gates_holding(EVERY[name], bay.state))
    assert fold_all(bay.events) == bay.state
    summary = summarise(bay.procedure, bay.events)
    assert all(each.caught_at for each in summary.planted)


@given(st.randoms(use_true_random=False), st.integers(0, 50), st.integers(0, 25))
@settings(max_examples=30, deadline=None)
def test_the_small_procedure_ends_after_any_jumps(chance: Random, seed: int, jumps: int) -> None:
    bay = PracticeBay(SMALL, seed, 2)
    wander(bay, chance, jumps)
    assert bay.state.status == "closed"
    assert next_step(SMALL, bay.state) is None
    assert gates_holding(SMALL, bay.state) == ()
    record = make_record(SMALL, bay.state, bay.events)  # no job's, but the fold bears it
    assert record.totals["done"] > 0


@given(draw=st.data(), seed=st.integers(0, 99), steps=st.integers(1, 40))
def test_whatever_is_done_in_practice_is_decided_or_refused_in_words(
    draw: st.DataObject, seed: int, steps: int
) -> None:
    """Jumps among everything else that anybody may do, at any time and with any clock."""
    bay = Bay(events=PracticeBay(SMALL, seed, 2).events)
    state, folded = bay.state, len(bay.events)
    for _ in range(steps):
        if draw.draw(st.booleans()):
            action, who = TakeUp(take_up=draw.draw(STEPS)), N1
        else:
            action, who = draw.draw(next_actions(bay))
        result = bay.decide(action, who, draw.draw(SECONDS))
        if isinstance(result, Refused):
            assert result.why.rstrip("”").endswith((".", "?")), result
            assert all(thing.step in {None, *SMALL.steps} for thing in result.opens_by), result
        for event in bay.events[folded:]:
            state = fold(state, event)
        folded = len(bay.events)
        assert state == bay.state
    made = make_vehicle(SMALL, seed, 2)
    for step in SMALL.steps.values():
        seen_at(made, SMALL, bay.state, step)
    truthful(made, SMALL, bay.state)
    assert summarise(SMALL, bay.events).practice


def test_what_was_done_out_of_its_place_counts_and_is_not_asked_again() -> None:
    bay = PracticeBay(SMALL, 1, 0)
    bay.do(Accept(accept="hazards"), TakeUp(take_up="odometer"))
    bay.do(Answer(answer="odometer", value="80123"))
    bay.walk()
    assert bay.state.status == "closed"
    assert len(bay.state.track("odometer").attempts) == 1


def test_work_done_before_its_protection_is_done_again_under_it() -> None:
    """The battery was off and on again when the join is reopened: both ends come back."""
    bay = PracticeBay(SMALL, 1, 0).walk(to="out")
    bay.do(TakeUp(take_up="reconnect"))
    bay.walk(to="out")
    # Counting out touches nothing; joining leads does, and wants the battery off again.
    assert bay.state.current == "out"
    bay.walk()
    assert bay.state.status == "closed"
    assert len(bay.state.track("disconnect").attempts) == 2
    assert len(bay.state.track("reconnect").attempts) == 2


def test_a_step_that_was_reopened_is_no_longer_the_one_taken_up() -> None:
    bay = PracticeBay(SMALL, 1, 0)
    bay.walk(to="lamps")
    bay.do(TakeUp(take_up="joins-hold"), Reopen(reopen="odometer", reason="misread"))
    assert bay.state.current == "odometer"


def test_nobody_takes_up_what_does_not_belong_to_the_job() -> None:
    seed = next(
        seed for seed in range(40) if PracticeBay(SMALL, seed).made.facts["camera"] == "none"
    )
    bay = PracticeBay(SMALL, seed, 0)
    bay.walk(to="odometer")
    refused = bay.decide(TakeUp(take_up="picture"))
    assert isinstance(refused, Refused)
    assert "does not belong to this job" in refused.why
