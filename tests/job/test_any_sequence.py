"""Whatever anybody does in whatever order: the properties that hold for every job."""

import json
from functools import cache

import pytest
import rfc8785
from any_actions import SECONDS, finish, next_actions
from bay import GOOD, SMALL, Bay
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from ordered import ordered_bay

from baycompanion.job.actions import Accept, Close
from baycompanion.job.deciding.decide import Decided
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.chain import canonical
from baycompanion.job.events.event import Event, read_event
from baycompanion.job.events.kinds import Begun, GateOpened, Overridden
from baycompanion.job.record.making import make_record
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.state.fold import begin, fold, fold_all
from baycompanion.job.state.gates import missing
from baycompanion.job.state.order import step_state
from baycompanion.job.state.state import State
from baycompanion.procedure.paths import applies
from baycompanion.store.job.folder import record_bytes

STATES = {
    "not reached",
    "in progress",
    "done",
    "done with deviation",
    "not applicable",
    "held",
    "overridden",
}
STARTS = ["ask-amplifier", "tools", "lamps", "panels", "disconnect", "out", "join", "cure"]
STARTS += ["stations-back", "lamps-after", "back", "after", "panels-after", "keys", None]
"""Where the walks begin that go on at will: before what can go wrong, mostly."""
RECORD_SCHEMA = JobRecord.model_json_schema(mode="serialization")


@cache
def walked(to: str | None) -> Bay:
    """Return a job walked well up to the step `to`, or to its end; nobody may change it."""
    return ordered_bay().walk(to)


def started(draw: st.DataObject) -> Bay:
    """Return a job somewhere on its way, which may be changed."""
    to = draw.draw(st.sampled_from(STARTS))
    walk = walked(to)
    return Bay(now=walk.now, events=list(walk.events))


def act_at_will(draw: st.DataObject, bay: Bay) -> Decided | Refused:
    action, who = draw.draw(next_actions(bay))
    return bay.decide(action, who, draw.draw(SECONDS))


def read_back(events: list[Event]) -> list[Event]:
    """Return `events` as a journal gives them back."""
    read: list[Event] = []
    for event in events:
        line = canonical(event.as_dict())
        read.append(read_event(json.loads(line), read[-1] if read else None))
    return read


@given(draw=st.data(), steps=st.integers(1, 30))
def test_every_action_is_decided_or_refused_in_words(draw: st.DataObject, steps: int) -> None:
    bay = started(draw)
    for _ in range(steps):
        result = act_at_will(draw, bay)
        assert isinstance(result, Decided | Refused)
        if isinstance(result, Refused):
            assert result.why.rstrip("”").endswith((".", "?")), result
            assert all(thing.words for thing in result.opens_by), result
            assert all(thing.step in {None, *SMALL.steps} for thing in result.opens_by), result


@given(draw=st.data(), steps=st.integers(1, 30))
def test_one_event_at_a_time_or_all_at_once_give_the_same_state(
    draw: st.DataObject, steps: int
) -> None:
    bay = started(draw)
    state, folded = bay.state, len(bay.events)
    for _ in range(steps):
        act_at_will(draw, bay)
        for place in range(folded, len(bay.events)):
            state = fold(state, bay.events[place])
            assert state == fold_all(bay.events[: place + 1])
        folded = len(bay.events)
        assert state == bay.state


@given(draw=st.data(), steps=st.integers(1, 30))
def test_every_step_is_in_exactly_one_state_and_at_most_one_is_in_progress(
    draw: st.DataObject, steps: int
) -> None:
    """R2."""
    bay = started(draw)
    for _ in range(steps):
        act_at_will(draw, bay)
        states = {name: bay.step(name) for name in SMALL.steps}
        assert set(states.values()) <= STATES
        in_progress = [name for name, state in states.items() if state == "in progress"]
        assert in_progress == ([bay.state.current] if bay.state.current else [])


@given(draw=st.data(), steps=st.integers(1, 40))
def test_no_step_begins_behind_a_gate_that_is_not_open(draw: st.DataObject, steps: int) -> None:
    """R20, R23: only a condition that is met or an override lets a step begin."""
    bay = started(draw)
    for _ in range(steps):
        act_at_will(draw, bay)
    state = begin(bay.events[0])
    for event in bay.events[1:]:
        _check_passing(state, event)
        state = fold(state, event)


def _check_passing(state: State, event: Event) -> None:
    data = event.data
    if isinstance(data, GateOpened):
        assert not missing(SMALL, state, SMALL.all_gates[data.gate])
    if isinstance(data, Overridden):
        assert SMALL.all_gates[data.gate].override != "nobody"
        assert missing(SMALL, state, SMALL.all_gates[data.gate])
    if isinstance(data, Begun):
        for gate in SMALL.gates_on[data.step]:
            if not applies(gate, state.choices):
                continue
            standing = state.gates[gate.gate].standing
            assert standing in ("open", "overridden")
            assert standing == "overridden" or not missing(SMALL, state, gate)


@given(draw=st.data(), steps=st.integers(1, 40))
def test_no_time_is_negative_and_none_is_counted_twice(draw: st.DataObject, steps: int) -> None:
    bay = started(draw)
    for _ in range(steps):
        act_at_will(draw, bay)
    state = bay.state
    pairs = zip(bay.events, bay.events[1:], strict=False)
    forward = sum(max(0, later.milliseconds - event.milliseconds) for event, later in pairs)
    assert all(time.worked >= 0 and time.paused >= 0 for time in state.phases.values())
    spent = sum(time.worked + time.paused for time in state.phases.values())
    assert 0 <= spent <= state.clock <= forward
    on_steps = sum(track.worked for track in state.steps.values())
    assert on_steps <= sum(time.worked for time in state.phases.values())


@given(draw=st.data(), steps=st.integers(1, 30))
def test_every_record_fits_its_schema_and_the_same_events_give_the_same_bytes(
    draw: st.DataObject, steps: int
) -> None:
    bay = started(draw)
    for _ in range(steps):
        act_at_will(draw, bay)
    record = bay.record()
    content = record_bytes(record)
    Draft202012Validator(RECORD_SCHEMA).validate(json.loads(content))
    again = read_back(bay.events)
    assert record_bytes(make_record(SMALL, fold_all(again), again)) == content
    assert sum(record.totals.values()) == len(SMALL.steps)
    assert JobRecord.model_validate_json(content) == record


@given(draw=st.data(), steps=st.integers(1, 30))
def test_events_survive_the_journal_and_are_hashed_over_the_bytes_of_the_rfc(
    draw: st.DataObject, steps: int
) -> None:
    """Checked against rfc8785 0.1.4, an independent implementation of RFC 8785."""
    bay = started(draw)
    for _ in range(steps):
        act_at_will(draw, bay)
    assert read_back(bay.events) == bay.events
    for event in bay.events:
        assert canonical(event.as_dict()) == rfc8785.dumps(event.as_dict())


@settings(max_examples=10)  # each compares twenty whole folds
@given(draw=st.data())
def test_a_decision_changes_nothing_that_was_before_it(draw: st.DataObject) -> None:
    bay = started(draw)
    for _ in range(20):
        before, copy = bay.state, fold_all(bay.events)
        act_at_will(draw, bay)
        assert before == copy


@given(draw=st.data(), steps=st.integers(1, 30))
def test_whatever_happened_a_job_that_is_not_given_up_can_be_finished(
    draw: st.DataObject, steps: int
) -> None:
    bay = started(draw)
    for _ in range(steps):
        act_at_will(draw, bay)
    if bay.state.status != "abandoned":
        finish(bay)


def test_the_schema_of_a_record_is_a_schema() -> None:
    Draft202012Validator.check_schema(RECORD_SCHEMA)


def test_a_job_walked_well_closes_clean() -> None:
    bay = Bay().walk()
    bay.do(Close(close="keys back"))
    assert bay.state.clean is True
    assert set(bay.record().totals) == {"done", "not applicable"}


@pytest.mark.parametrize("name", [name for name in GOOD if name != "picture"])
def test_every_step_can_be_reached_and_is_then_in_progress(name: str) -> None:
    bay = walked(name)
    assert step_state(SMALL, bay.state, SMALL.steps[name]) == "in progress"


def test_nothing_begins_before_the_hazards_are_accepted() -> None:
    """R16."""
    bay = Bay()
    assert bay.state.current is None
    bay.do(Accept(accept="hazards"))
    assert bay.state.current == next(iter(SMALL.steps))
