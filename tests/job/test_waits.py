"""Waits: how long, from when, and that nothing but time passes them."""

from datetime import timedelta, timezone

import pytest
from bay import GOOD, T2, Bay

from baycompanion.job.actions import (
    Accept,
    Answer,
    Reopen,
    SetWait,
)
from baycompanion.job.deciding.answers import wait_left
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    HandOver,
    PauseWork,
    Resume,
)
from baycompanion.job.state.fold import fold_all
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.steps import Wait

DONE = Answer(answer="cure")
AGAIN = Resume(resume="as it was", still_true="battery-off", gate_checked=True)
PAUSE = PauseWork(pause="lunch", loose="none", first="none")


def curing() -> Bay:
    """Return a job whose wait of ten minutes has just begun."""
    return Bay().walk("cure")


def left(bay: Bay, step: str = "cure") -> int | None:
    """Return the seconds that the wait has left at the newest event."""
    wait = bay.procedure.steps[step]
    assert isinstance(wait, Wait)
    since = bay.state.track(wait.since) if wait.since else None
    return wait_left(wait, bay.state.clock, bay.state.track(step), since)


def test_a_wait_is_over_when_its_time_has_run_and_not_a_second_before() -> None:
    bay = curing()
    assert "00:01 to run" in bay.refused(DONE, after=599).why
    assert "00:01 to run" in bay.refused(DONE, after=0.999).why
    bay.do(DONE, after=0.001)


def test_pressing_a_hundred_times_does_not_pass_a_wait() -> None:
    """R30: it cannot be keyed through."""
    bay = curing()
    for _ in range(100):
        bay.refused(DONE, after=1)
    assert bay.step("cure") == "in progress"


def test_a_wait_without_a_value_stays_shut_until_one_is_entered_with_its_source() -> None:
    """R29."""
    bay = Bay().walk("reserve")
    assert left(bay, "reserve") is None
    refused = bay.refused(Answer(answer="reserve"), after=86_400)
    assert "not known for this vehicle" in refused.why
    assert "source" in refused.opens_by[0].words
    bay.do(SetWait(set_wait="reserve", lasts="2 min", source="maker's manual"), after=0)
    bay.do(Answer(answer="reserve"), after=0)


SINCE = """
procedure: since
title: T
revision: 1
fits: F?
hazards: none
tools: none
parts: none
phases:
  - phase: only
    title: Only
    target: 10 min
    steps:
      - {do: Disconnect., id: disconnect}
      - {do: Cover the seats., id: cover}
      - {wait: Wait., id: reserve, since: disconnect, lasts: 3 min, source: invented}
"""


def test_a_wait_runs_from_the_step_that_starts_it() -> None:
    """R30: from the recorded act, here two minutes before the wait itself is in hand."""
    bay = Bay(procedure=load_procedure(SINCE, "since.yaml").procedure)
    bay.do(Accept(accept="hazards"), Answer(answer="disconnect"))
    bay.do(Answer(answer="cover"), after=120)
    assert "01:00 to run" in bay.refused(Answer(answer="reserve"), after=0).why
    bay.do(Answer(answer="reserve"), after=60)


def test_a_value_can_be_corrected_and_both_are_kept() -> None:
    bay = Bay().walk("reserve")
    bay.do(SetWait(set_wait="reserve", lasts="30 min", source="maker's manual"))
    bay.do(SetWait(set_wait="reserve", lasts="3 min", source="maker's manual, page 9"))
    assert bay.kinds().count("wait-set") == 2
    assert left(bay, "reserve") == 60


def test_a_vehicle_may_make_a_wait_longer_than_its_procedure_but_never_shorter() -> None:
    """R29, R30."""
    bay = curing()
    assert (
        "shorter than 10 min"
        in bay.refused(SetWait(set_wait="cure", lasts="9 min", source="hurry")).why
    )
    bay.do(SetWait(set_wait="cure", lasts="20 min", source="tin"))
    assert left(bay) == 18 * 60


def test_a_wait_runs_on_through_a_pause_and_a_change_of_hands() -> None:
    """R30."""
    bay = curing()
    bay.do(PAUSE, HandOver(hand_over="T2", words="curing", loose="none", first="none"))
    bay.do(AGAIN, who=T2, after=540)
    assert left(bay) == 0
    bay.do(DONE, who=T2, after=0)


def test_a_wait_survives_a_restart() -> None:
    """R30: it is worked out from the events, so there is nothing that a restart could lose."""
    bay = curing()
    bay.do(PAUSE, after=300)
    bay.state = fold_all(bay.events)
    bay.do(AGAIN, after=300)
    assert left(bay) == 0


@pytest.mark.parametrize(
    ("meaning", "seconds_left"), [("worked", 0), ("away", 0), ("clock", 10 * 60)]
)
def test_a_gap_counts_for_a_wait_unless_it_was_only_the_clock(
    meaning: str, seconds_left: int
) -> None:
    bay = curing()
    bay.do(FindGap(gap="left", seconds=3600), after=3600)
    assert "not accounted for" in bay.refused(DONE, after=3600).why
    bay.do(ExplainGap(explain=meaning), after=0)
    assert left(bay) == seconds_left


def test_a_clock_set_back_does_not_help_and_does_not_start_the_wait_again() -> None:
    """R30: the change is noticed and noted."""
    bay = curing()
    bay.do(PAUSE, after=500)
    bay.do(AGAIN, after=-7200)
    assert left(bay) == 100
    assert bay.record().clock_backs[0].seconds == 7200
    assert "00:40 to run" in bay.refused(DONE, after=60).why
    bay.do(DONE, after=40)


def test_a_wait_whose_start_is_done_again_starts_again() -> None:
    """R28."""
    bay = Bay().walk("out")
    bay.do(Reopen(reopen="disconnect", reason="clamp slipped back on"), after=3600)
    bay.do(*GOOD["disconnect"])
    assert bay.state.current == "reserve"
    assert left(bay, "reserve") is None, "the value is asked for again with the wait"
    bay.do(SetWait(set_wait="reserve", lasts="2 min", source="maker's manual"), after=0)
    assert left(bay, "reserve") == 120


def test_a_wait_reopened_by_itself_runs_from_its_own_new_beginning() -> None:
    bay = Bay().walk("reconnect")
    bay.do(Reopen(reopen="cure", reason="sealant was torn"), after=3600)
    assert left(bay) == 600


@pytest.mark.parametrize("offset", [timedelta(hours=-5), timedelta(hours=9)])
def test_the_zone_of_the_clock_does_not_matter(offset: timedelta) -> None:
    bay = curing()
    bay.now = bay.now.astimezone(timezone(offset))
    bay.refused(DONE, after=599)
    bay.do(DONE, after=1)
