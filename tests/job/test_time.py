"""Time: worked, paused and elapsed per phase, gaps, and clocks that jump."""

from datetime import timedelta

import pytest
from bay import GOOD, SMALL, Bay

from baycompanion.job.actions import (
    Answer,
    Close,
    Note,
    Reopen,
)
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    PauseWork,
    Resume,
)
from baycompanion.job.state.timing import (
    PhaseSpan,
    phase_spans,
    seconds_paused,
    seconds_since_last,
    worked_seconds,
)

PAUSE = PauseWork(pause="lunch", loose="none", first="none")
RESUME = Resume(resume="", still_true="battery-off", gate_checked=True)


def span(bay: Bay, phase: str) -> PhaseSpan:
    return next(each for each in phase_spans(SMALL, bay.state) if each.phase == phase)


def test_a_phase_is_timed_from_its_first_step_to_its_last() -> None:
    """R35. In this bay every action takes a minute."""
    bay = Bay().walk("rest-voltage")
    take_in = span(bay, "take-in")
    actions = sum(kind in ("ticked", "answered") for kind in bay.kinds())
    together = 3 + 1  # TickRest ticks four lines of one sheet and two of the other in one minute
    assert take_in.worked == 60 * (actions - together)
    assert (take_in.paused, take_in.target) == (0, 20 * 60)
    assert span(bay, "make-safe").worked == 0
    assert take_in.last_at == span(bay, "make-safe").begun_at


def test_a_pause_is_not_work_but_it_is_elapsed() -> None:
    bay = Bay().walk("route")
    before = span(bay, "refit")
    bay.do(PAUSE, after=30)
    bay.do(RESUME, after=1800)
    bay.do(Answer(answer="route"), after=90)
    after = span(bay, "refit")
    assert (after.worked - before.worked, after.paused) == (120, 1800)
    assert after.elapsed == after.worked + after.paused


@pytest.mark.parametrize(
    ("meaning", "worked", "paused"), [("worked", 600, 0), ("away", 0, 600), ("clock", 0, 0)]
)
def test_a_gap_is_work_or_a_pause_or_nothing_by_what_it_is_said_to_be(
    meaning: str, worked: int, paused: int
) -> None:
    bay = Bay().walk("route")
    before = span(bay, "refit")
    bay.do(FindGap(gap="left", seconds=600), after=600)
    bay.do(ExplainGap(explain=meaning), after=0)
    after = span(bay, "refit")
    assert (after.worked - before.worked, after.paused) == (worked, paused)


def test_the_work_before_the_laptop_slept_is_not_lost_with_the_sleep() -> None:
    bay = Bay().walk("route")
    before = span(bay, "refit").worked
    bay.do(FindGap(gap="slept", seconds=600), after=900)
    assert span(bay, "refit").worked - before == 300
    bay.do(ExplainGap(explain="away"), after=0)
    after = span(bay, "refit")
    assert (after.worked - before, after.paused) == (300, 600)


@pytest.mark.parametrize(("passed", "counted"), [(600, 600), (59.9999, 59), (60.0004, 60)])
def test_a_gap_is_never_longer_than_the_time_that_passed(passed: float, counted: int) -> None:
    bay = Bay().walk("route")
    bay.do(FindGap(gap="slept", seconds=10**12), after=passed)
    assert bay.record().gaps[0].seconds == counted
    bay.do(ExplainGap(explain="worked"), after=0)
    assert span(bay, "refit").worked == counted


@pytest.mark.parametrize(("meaning", "worked", "paused"), [("worked", 7800, 0), ("away", 0, 7800)])
def test_a_gap_that_is_left_without_a_word_grows_until_it_is_explained(
    meaning: str, worked: int, paused: int
) -> None:
    """It was asked on another day what the last ten minutes were, and nothing was verified."""
    bay = Bay().walk("route")
    before = span(bay, "refit")
    began = bay.state.last_at
    bay.do(FindGap(gap="left", seconds=600), after=600)
    bay.do(FindGap(gap="left", seconds=7200), after=7200)
    [gap] = bay.record().gaps
    assert (gap.since, gap.seconds, gap.meaning) == (began, 7800, "not explained yet")
    bay.do(ExplainGap(explain=meaning), after=0)
    after = span(bay, "refit")
    assert (after.worked - before.worked, after.paused) == (worked, paused)
    assert bay.state.status == ("paused" if paused else "open"), "a long time away is a pause"


def test_nothing_counts_until_a_gap_is_explained() -> None:
    bay = Bay().walk("route")
    bay.do(FindGap(gap="left", seconds=600), after=600)
    before = span(bay, "refit")
    bay.do(Note(note="still here"), after=900)
    after = span(bay, "refit")
    assert (after.worked, after.paused) == (before.worked, before.paused)


def test_a_clock_set_back_is_recorded_and_takes_no_time_away() -> None:
    bay = Bay().walk("route")
    before = span(bay, "refit").worked
    events = bay.do(Note(note="laptop found the network"), after=-3600.5)
    assert [event.kind for event in events] == ["clock-back", "noted"]
    assert [(back.at, back.seconds) for back in bay.record().clock_backs] == [(events[0].at, 3601)]
    assert span(bay, "refit").worked == before
    bay.do(Answer(answer="route"), after=60)
    assert span(bay, "refit").worked == before + 60


def test_a_clock_set_back_is_recorded_even_if_all_that_is_tried_is_refused() -> None:
    """Else a wait asked for again and again stands still, and nothing says why."""
    bay = Bay().walk("cure")
    bay.decide(Answer(answer="cure"), after=-2 * 86_400)
    assert bay.kinds()[-1] == "clock-back"
    refused = bay.decide(Answer(answer="cure"), after=599)
    assert isinstance(refused, Refused)
    bay.do(Answer(answer="cure"), after=1)
    assert bay.kinds().count("clock-back") == 1


def test_an_ended_job_takes_no_clock_set_back() -> None:
    bay = Bay().walk("keys")
    bay.do(*GOOD["keys"], Close(close="keys back"))
    written = len(bay.events)
    assert isinstance(bay.decide(Note(note="late"), after=-86_400), Refused)
    assert len(bay.events) == written


def test_a_clock_that_stands_still_is_no_clock_set_back() -> None:
    bay = Bay().walk("route")
    bay.do(Note(note="a"), Note(note="b"), after=0)
    bay.now += timedelta(microseconds=999)
    bay.do(Note(note="c"), after=0)
    bay.do(Note(note="d"), after=-0.000999)
    assert "clock-back" not in bay.kinds()


def test_the_time_of_a_step_done_twice_adds_up() -> None:
    bay = Bay().walk("odometer")
    bay.do(Answer(answer="odometer", value="1"), after=40)
    bay.do(Reopen(reopen="odometer", reason="misread"), after=0)
    bay.do(Answer(answer="odometer", value="2"), after=20)
    record = next(step for step in bay.record().steps if step.id == "odometer")
    assert record.worked_seconds == 60


def test_a_phase_that_does_not_apply_has_no_time() -> None:
    spans = phase_spans(SMALL, Bay().walk("odometer").state)
    assert [each.worked for each in spans[1:]] == [0, 0, 0, 0]
    assert [each.begun_at for each in spans[1:]] == [None, None, None, None]


def test_the_record_holds_each_phase_against_its_target() -> None:
    bay = Bay().walk("keys")
    for phase, each in zip(bay.record().phases, phase_spans(SMALL, bay.state), strict=True):
        assert phase.target_seconds == SMALL.phase_named[phase.phase].target
        assert phase.elapsed_seconds == phase.worked_seconds + phase.paused_seconds
        assert phase.worked_seconds == each.worked
    assert worked_seconds(bay.state) == sum(each.worked for each in phase_spans(SMALL, bay.state))


def test_time_before_the_first_step_belongs_to_no_phase() -> None:
    bay = Bay()
    bay.do(Note(note="keys in"), after=3600)
    assert worked_seconds(bay.state) == 0
    bay.walk("tools")
    assert worked_seconds(bay.state) == 120


def test_the_time_since_the_newest_event_and_of_the_pause_is_never_negative() -> None:
    bay = Bay().walk("route")
    later, earlier = bay.now + timedelta(seconds=90), bay.now - timedelta(days=1)
    assert seconds_since_last(bay.state, later) == 90
    assert seconds_since_last(bay.state, earlier) == 0
    assert seconds_paused(bay.state, later) == 0
    bay.do(PAUSE, after=0)
    assert seconds_paused(bay.state, later) == 90
    assert seconds_paused(bay.state, earlier) == 0
