"""Practice: a wrong order is allowed and kept, and nothing of it is open to a real job."""

from datetime import timedelta

import pytest
from bay import GOOD, LONG_STEPS, N1, SMALL, T1, Bay
from practice import PracticeBay

from baycompanion.job.actions import Accept, Action, Answer
from baycompanion.job.deciding.practising import MENTOR, gates_run_into
from baycompanion.job.events.event import Event
from baycompanion.job.events.practice_kinds import Looked, NextSaid, RanInto, Unprotected
from baycompanion.job.hands_actions import HandOver
from baycompanion.job.practice_actions import LookAt, SayNext, TakeUp
from baycompanion.job.state.gates import gates_holding


def practised(to: str) -> PracticeBay:
    """Return a practice of the small procedure, walked well until `to` is in hand."""
    bay = PracticeBay()
    bay.do(Accept(accept="hazards"))
    while bay.state.current not in (to, None):
        who = MENTOR if bay.state.current == "second-look" else N1
        bay.now += LONG_STEPS.get(bay.state.current, timedelta())
        bay.do(*GOOD[bay.state.current], who=who)
    assert bay.state.current == to
    return bay


def said(events: list[Event], kind: type) -> list[object]:
    """Return what the events of one kind carry."""
    return [event.data for event in events if isinstance(event.data, kind)]


@pytest.mark.parametrize(
    "action", [SayNext(say_next="parts"), TakeUp(take_up="parts"), LookAt(look_at="ask-amplifier")]
)
def test_a_real_job_knows_none_of_it(action: Action) -> None:
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    assert "practice only" in bay.refused(action, T1).why


def test_what_comes_next_is_said_once() -> None:
    bay = practised("odometer")
    bay.do(SayNext(say_next="odometer"))
    assert said(bay.events, NextSaid) == [NextSaid(due="odometer", said="odometer", right=True)]
    assert "said already" in bay.refused(SayNext(say_next="odometer")).why


def test_a_step_that_nothing_holds_is_as_right() -> None:
    bay = practised("odometer")
    bay.do(SayNext(say_next="promised"))
    assert said(bay.events, NextSaid) == [NextSaid(due="odometer", said="promised", right=True)]


def test_a_step_behind_a_shut_gate_is_not_right_and_says_which() -> None:
    bay = practised("odometer")
    bay.do(SayNext(say_next="keys"))
    [guess] = said(bay.events, NextSaid)
    assert isinstance(guess, NextSaid) and not guess.right
    assert {each.gate for each in said(bay.events, RanInto)} >= {"sound-before-refit"}  # type: ignore[attr-defined]


def test_a_step_is_taken_up_out_of_its_place_and_the_job_goes_back() -> None:
    bay = practised("odometer")
    gates = gates_run_into(SMALL, bay.state, SMALL.steps["sound"])
    events = bay.do(TakeUp(take_up="sound"))
    assert [each.gate for each in said(events, RanInto)] == [gate.gate for gate, _ in gates]  # type: ignore[attr-defined]
    assert gates
    assert bay.state.current == "sound"
    bay.do(*GOOD["sound"])
    assert bay.state.current == "odometer"
    assert bay.state.track("sound").good


def test_work_without_what_protects_it_is_told() -> None:
    bay = practised("odometer")
    events = bay.do(TakeUp(take_up="join"))
    assert said(events, Unprotected) == [Unprotected(standing="battery-off", step="join")]


def test_what_rests_on_another_step_cannot_be_answered_yet() -> None:
    bay = practised("odometer")
    refused = bay.refused(TakeUp(take_up="stations-back"))
    assert [thing.step for thing in refused.opens_by] == ["stations"]


def test_a_step_that_hangs_on_a_choice_waits_for_it() -> None:
    bay = PracticeBay()
    bay.do(Accept(accept="hazards"))
    refused = bay.refused(TakeUp(take_up="amplifier-lead"))
    assert [thing.step for thing in refused.opens_by] == ["ask-amplifier"]


def test_a_finished_step_is_not_taken_up() -> None:
    bay = practised("odometer")
    assert "finished" in bay.refused(TakeUp(take_up="tools")).why


def test_the_step_behind_the_gate_that_holds_the_job_can_be_taken_up() -> None:
    """What it still waits for is told again, and the gate holds the step after it all the same."""
    bay = practised("sound")
    bay.do(Answer(answer="sound", outcome="could not test", words="no source"))
    while bay.state.current is not None:
        bay.do(*GOOD[bay.state.current])
    assert gates_holding(SMALL, bay.state) == ("sound-before-refit",)
    events = bay.do(TakeUp(take_up="route"))
    [told] = [each.data for each in events if isinstance(each.data, RanInto)]
    assert (told.gate, told.step) == ("sound-before-refit", "route")
    assert "Could not test" in told.missing[0]
    bay.do(*GOOD["route"])
    assert bay.state.current is None
    assert gates_holding(SMALL, bay.state) == ("sound-before-refit",)


def test_a_look_is_kept() -> None:
    bay = practised("odometer")
    bay.do(LookAt(look_at="odometer"))
    assert said(bay.events, Looked) == [Looked(step="odometer")]
    assert "not the step in hand" in bay.refused(LookAt(look_at="keys")).why


def test_practice_is_handed_to_nobody() -> None:
    bay = practised("odometer")
    for who in (N1, MENTOR):
        asked = HandOver(hand_over=MENTOR.id, words="w", loose="l", first="f")
        assert bay.refused(asked, who).why == "Practice stays with N1, who began it."


def test_practice_asks_for_no_photo() -> None:
    bay = practised("join")
    bay.do(*[each for each in GOOD["join"] if not hasattr(each, "photo")])
    assert bay.state.track("join").good


def test_a_step_taken_up_stays_in_hand_until_it_is_finished() -> None:
    bay = practised("odometer")
    bay.do(TakeUp(take_up="joins-hold"), Answer(answer="joins-hold", outcome="failed"))
    assert bay.state.current == "joins-hold"
    bay.do(Answer(answer="joins-hold", outcome="passed"))
    assert bay.state.current == "odometer"
