"""A crash between the lines of one action: the job opens, keeps its faults, and can be finished."""

from datetime import timedelta
from pathlib import Path

import pytest
from any_actions import SECONDS, finish, next_actions
from bay import BAD, GOOD, LISTS, S1, SMALL, T1, Bay
from hypothesis import given
from hypothesis import strategies as st
from on_disk import bay_of, kinds, last_moment, walked_on_disk, write_events

from baycompanion.job.actions import (
    Accept,
    Acknowledge,
    Action,
    Answer,
    Confirm,
    Override,
    RaiseFault,
    Reopen,
    Settle,
    TickRest,
)
from baycompanion.job.deciding.decide import catch_up
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.hands_actions import ExplainGap, FindGap, HandOver
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.order import next_step
from baycompanion.store.job.open_job import OpenJob

STARTS = ["ask-camera", "disconnect", "join", "reconnect", "stations-back", "back", "after", "keys"]


def check_cut(bay: Bay, kept: int) -> None:
    """See that the job of `bay`, cut off after `kept` events, goes on as it should."""
    events = bay.events[:kept]
    state = fold_all(events)
    caught = catch_up(SMALL, state, T1, bay.now)
    again = Bay(now=bay.now, events=[*events, *caught.events])
    assert again.state == caught.state
    assert catch_up(SMALL, again.state, T1, bay.now).events == (), "it has caught up"
    assert {fault.number for fault in state.faults} <= {f.number for f in again.state.faults}
    if again.state.status == "open" and again.state.gap is None and again.state.accepted_at:
        step = next_step(SMALL, again.state)
        assert again.state.current in (step.id if step else None, None)
    if again.state.status != "abandoned":
        finish(again)
        assert {fault.number for fault in state.faults} <= {f.number for f in again.state.faults}


@given(draw=st.data(), steps=st.integers(0, 12))
def test_a_job_cut_off_after_any_event_of_any_action_can_be_finished(
    draw: st.DataObject, steps: int
) -> None:
    bay = Bay().walk(draw.draw(st.sampled_from(STARTS)))
    before = len(bay.events)
    for _ in range(steps):
        before = len(bay.events)
        action, who = draw.draw(next_actions(bay))
        bay.decide(action, who, draw.draw(SECONDS))
    for kept in range(before, len(bay.events) + 1):
        check_cut(bay, kept)


HAND = HandOver(hand_over="T2", words="w", loose="l", first="f")
OVERRIDE = Override(override="sound-before-refit", reason="r", words="w", instead="i")
SETTLED = [*BAD["sound"], Settle(settle="sound", cause="vehicle", words="torn")]
NOT_HELD = Confirm(confirm="battery-off", held=False, words="key was in")

BATCHES: list[tuple[str | None, list[Action], Person, list[str]]] = [
    # the step walked to, what is done, by whom, and the events of the last action
    (None, [Accept(accept="hazards")], T1, ["hazards-accepted", "begun"]),
    ("disconnect", [Acknowledge(acknowledge="disconnect")], T1, ["acknowledged"] * 4),
    ("before", [TickRest(tick_rest="before")], T1, ["ticked"] * 4),
    ("reserve", GOOD["reserve"], T1, ["answered", "gate-opened", "begun"]),
    ("after", BAD["after"], T1, ["fault-raised", "answered", "begun"]),
    ("sound", SETTLED, T1, ["fault-raised", "settled", "begun"]),
    ("reconnect", [NOT_HELD], T1, ["fault-raised", "standing-asked"]),
    ("join", [HAND], T1, ["paused", "handed-over"]),
    (
        "show",
        [Reopen(reopen="join", reason="r")],
        T1,
        ["gate-shut-again"] * 2 + ["reopened"] * 5 + ["begun"],
    ),
    ("keys", [RaiseFault(fault="f", cause="work")], T1, ["fault-raised", "gate-held"]),
]


@pytest.mark.parametrize(("to", "actions", "who", "kinds_of_last"), BATCHES)
def test_each_action_of_several_events_can_be_cut_off_after_each_of_them(
    to: str | None, actions: list[Action], who: Person, kinds_of_last: list[str]
) -> None:
    bay = Bay() if to is None else Bay().walk(to)
    last = bay.do(*actions, who=who)
    written = [event.kind for event in last]
    assert sorted(written) == sorted(kinds_of_last)
    for kept in range(len(bay.events) - len(last), len(bay.events) + 1):
        check_cut(bay, kept)


def test_an_override_cut_off_from_the_step_it_lets_begin_still_lets_it_begin() -> None:
    bay = Bay().held(sound=SETTLED)
    assert [event.kind for event in bay.do(OVERRIDE, who=S1)] == ["overridden", "begun"]
    check_cut(bay, len(bay.events) - 1)


def test_a_night_away_cut_off_before_it_was_explained_is_asked_about_again() -> None:
    bay = Bay().walk("join")
    bay.do(FindGap(gap="left", seconds=30_000), after=30_000)
    last = bay.do(ExplainGap(explain="away"))
    assert [event.kind for event in last] == ["paused", "gap-explained"]
    half = Bay(now=bay.now, events=bay.events[:-1])
    half.do(ExplainGap(explain="away"))
    assert (half.state.status, len(half.state.pauses)) == ("paused", 1)


def test_a_fault_outlives_a_crash_before_its_answer_and_is_not_raised_twice() -> None:
    bay = Bay().walk("after")
    last = bay.do(*BAD["after"])
    assert last[0].kind == "fault-raised"
    cut = Bay(now=bay.now, events=bay.events[: len(bay.events) - len(last) + 1])
    assert (cut.state.current, len(cut.state.faults)) == ("after", 1)
    cut.do(BAD["after"][-1])
    assert (cut.step("after"), len(cut.state.faults)) == ("done with deviation", 1)


@pytest.mark.parametrize("kept", [1, 2, 3])
def test_the_store_says_what_a_crash_cut_off_when_the_job_is_opened(
    folder: Path, kept: int
) -> None:
    bay = bay_of(folder).walk("reserve")
    last = bay.do(*GOOD["reserve"])
    assert [event.kind for event in last] == ["answered", "gate-opened", "begun"]
    write_events(folder, [*bay.events[: -len(last)], *last[:kept]])
    job = OpenJob(folder, LISTS, T1, last_moment(folder))
    assert job.state.current == "out"
    assert kinds(folder)[-3:] == ["answered", "gate-opened", "begun"]
    job.leave()


def test_a_clock_set_back_before_a_job_is_opened_after_a_crash_is_noted() -> None:
    bay = Bay().walk("out")
    cut = fold_all(bay.events[:-1])
    caught = catch_up(SMALL, cut, T1, bay.now - timedelta(hours=1))
    assert caught.events[0].kind == "clock-back"
    again = catch_up(SMALL, caught.state, T1, bay.now - timedelta(hours=2))
    assert [event.kind for event in again.events] == ["clock-back"]


def test_a_clock_set_back_is_on_the_disk_though_what_was_tried_is_refused(folder: Path) -> None:
    walked_on_disk(folder, "cure")
    job = OpenJob(folder, LISTS, T1, last_moment(folder))
    refused = job.act(Answer(answer="cure"), T1, last_moment(folder) - timedelta(days=2))
    assert isinstance(refused, Refused)
    assert kinds(folder)[-1] == job.events[-1].kind == "clock-back"
    job.leave()
