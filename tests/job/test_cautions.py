"""Cautions before the act, and standing conditions asked about at their end."""

import pytest
from bay import GOOD, SMALL, Bay

from baycompanion.job.actions import (
    Accept,
    Acknowledge,
    Action,
    Answer,
    Confirm,
    Reopen,
    SetWait,
    TickRest,
)
from baycompanion.job.state.order import standing_now
from baycompanion.procedure.load import load_procedure

READ = "Read and acknowledge what stands before this step first."


def test_danger_and_warning_are_acknowledged_before_a_step_is_answered() -> None:
    """R11, R15: reading is a mark of its own, with its own time. Caution and notice only show."""
    bay = Bay().walk("disconnect")
    assert [thing.words for thing in bay.refused(Answer(answer="disconnect")).opens_by] == [
        "DANGER: The battery can arc.",
        "WARNING: A tool can short the battery.",
    ]
    bay.do(Acknowledge(acknowledge="disconnect", caution=0))
    assert len(bay.refused(Answer(answer="disconnect")).opens_by) == 1
    bay.do(Acknowledge(acknowledge="disconnect", caution=1))
    [read] = [step for step in bay.record().steps if step.id == "disconnect"]
    assert (read.cautions, read.cautions_read) == (4, 2)
    bay.do(Answer(answer="disconnect"))


def test_each_caution_is_acknowledged_once() -> None:
    bay = Bay().walk("disconnect")
    events = bay.do(Acknowledge(acknowledge="disconnect"))
    assert [event.data.caution for event in events] == [0, 1, 2, 3]  # type: ignore[attr-defined]
    bay.refused(Acknowledge(acknowledge="disconnect", caution=0))
    bay.refused(Acknowledge(acknowledge="disconnect"))


def test_cautions_are_read_again_when_a_step_is_reopened() -> None:
    """R16: repeated where they bite."""
    bay = Bay().walk("out")
    bay.do(Reopen(reopen="disconnect", reason="slipped"))
    assert bay.refused(Answer(answer="disconnect")).why == READ


WARNED = """
procedure: warned
title: T
revision: 1
fits: F?
hazards: none
tools: [{tool: t, name: Tool}]
parts: none
phases:
  - phase: only
    title: Only
    target: 10 min
    steps:
      - VERB
        id: s
        cautions: [{warning: W, consequence: C., avoid: A.}]
"""
ACTS: list[tuple[str, Action]] = [
    ("do: D.\n        each: tools", GOOD["tools"][1].model_copy(update={"tick": "s", "item": "t"})),
    ("inspect: I.\n        of: [{item: i, name: I}]", TickRest(tick_rest="s")),
    ("wait: W.", SetWait(set_wait="s", lasts=5, source="m")),
    ("check: C.", Answer(answer="s", outcome="passed")),
]


@pytest.mark.parametrize(("verb", "act"), ACTS)
def test_no_line_is_ticked_and_no_wait_entered_before_the_warning_is_read(
    verb: str, act: Action
) -> None:
    """R11: a caution guards the whole step, not only its last key."""
    procedure = load_procedure(WARNED.replace("VERB", verb), "warned.yaml").procedure
    bay = Bay(procedure=procedure)
    bay.do(Accept(accept="hazards"))
    assert bay.refused(act).why == READ
    bay.do(Acknowledge(acknowledge="s"), act)


def standing(bay: Bay) -> list[str]:
    return [each.standing for each in standing_now(SMALL, bay.state)]


def test_a_standing_condition_is_in_force_from_the_end_of_one_step_to_the_end_of_another() -> None:
    """R8."""
    bay = Bay().walk("disconnect")
    assert standing(bay) == []
    bay.walk("reserve")
    assert standing(bay) == ["battery-off"]
    bay.walk("reconnect")
    assert standing(bay) == ["battery-off"]
    bay.good("reconnect")
    assert standing(bay) == []


def test_a_standing_condition_is_asked_about_at_its_end() -> None:
    """R8."""
    bay = Bay().walk("reconnect")
    refused = bay.refused(Answer(answer="reconnect"))
    assert [thing.words for thing in refused.opens_by] == ["Did the battery stay off until now?"]
    bay.do(Confirm(confirm="battery-off", held=True), Answer(answer="reconnect"))


def test_a_condition_that_did_not_hold_is_a_fault_of_the_work() -> None:
    bay = Bay().walk("reconnect")
    bay.do(Confirm(confirm="battery-off", held=False, words="somebody tried the key"))
    [fault] = bay.state.faults
    assert (fault.cause, fault.step) == ("work", "reconnect")
    assert fault.words == "The battery stays off. It did not hold: somebody tried the key"
    bay.do(Answer(answer="reconnect"))


def test_a_condition_is_not_begun_by_a_step_that_was_not_done() -> None:
    bay = Bay().walk("disconnect")
    bay.do(GOOD["disconnect"][0], Answer(answer="disconnect", outcome="not done", words="no tool"))
    assert standing(bay) == []


def test_the_end_of_a_standing_condition_done_again_by_itself_does_not_bring_it_back() -> None:
    """R10: the clamp is tightened with the battery on, and the strip must not say otherwise."""
    bay = Bay().walk("sound")
    bay.do(Reopen(reopen="reconnect", reason="clamp was loose"))
    assert standing(bay) == []
    bay.do(Answer(answer="reconnect"))
    assert bay.state.current == "sound"


def test_work_that_needs_a_standing_condition_again_brings_it_back_and_asks_at_its_end() -> None:
    """R8: the condition is true whenever the work it protects is done."""
    bay = Bay().walk("sound")
    bay.do(Reopen(reopen="join", reason="one cap came off"))
    assert (bay.state.current, standing(bay)) == ("disconnect", [])
    bay.walk("join")
    assert standing(bay) == ["battery-off"]
    bay.walk("reconnect")
    assert "A standing condition ends here." in bay.refused(Answer(answer="reconnect")).why
    bay.good("reconnect")
    assert (bay.state.current, standing(bay)) == ("sound", [])


def test_what_touches_nothing_is_done_again_without_a_standing_condition() -> None:
    bay = Bay().walk("sound")
    bay.do(Reopen(reopen="gauges", reason="misread"))
    assert bay.state.current == "gauges"
