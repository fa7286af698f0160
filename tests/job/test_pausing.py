"""Stopping and going on: pauses, changes of hands, and time nobody can account for."""

import pytest
from bay import GOOD, N1, S1, T1, T2, Bay

from baycompanion.job.actions import (
    Accept,
    Answer,
    Close,
    Note,
)
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.pausing import LONG_PAUSE
from baycompanion.job.events.moment import write_moment
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    HandOver,
    PauseWork,
    Resume,
)

PAUSE = PauseWork(pause="lunch", loose="the receiver hangs", first="tug the joins again")
HAND = HandOver(hand_over="T2", words="joins are done", loose="two leads", first="tug them")
RESUME = Resume(resume="")
VERIFIED = Resume(resume="leads as told", still_true="battery-off", gate_checked=True)


def test_a_pause_says_why_what_is_loose_and_what_comes_first_on_return() -> None:
    """R31, R32."""
    bay = Bay().walk("join")
    bay.do(PAUSE)
    [pause] = bay.record().pauses
    assert (pause.reason, pause.loose, pause.first) == (PAUSE.pause, PAUSE.loose, PAUSE.first)
    assert (pause.by, pause.ended_at) == ("T1", None)
    bay.do(RESUME)
    assert bay.record().pauses[0].ended_at == write_moment(bay.now)
    assert bay.state.current == "join"


def test_the_step_in_hand_and_its_lines_are_as_they_were() -> None:
    bay = Bay().walk("join")
    bay.do(*GOOD["join"][:3], PAUSE, RESUME)
    assert set(bay.state.track("join").ticks) == {"cap"}
    bay.do(*GOOD["join"][3:])
    assert bay.step("join") == "done"


@pytest.mark.parametrize(("seconds", "verify"), [(LONG_PAUSE - 1, False), (LONG_PAUSE, True)])
def test_after_a_long_pause_what_stands_is_verified_again(seconds: int, verify: bool) -> None:
    """R33."""
    bay = Bay().walk("join")
    bay.do(PAUSE)
    if not verify:
        bay.do(RESUME, after=seconds)
        return
    refused = bay.refused(RESUME, after=seconds)
    words = [thing.words for thing in refused.opens_by]
    assert words == ["The battery stays off.", "What opened the gate on-bench-for-bench"]
    half = [Resume(resume="", still_true="battery-off"), Resume(resume="", gate_checked=True)]
    assert [len(bay.refused(each, after=0).opens_by) for each in half] == [1, 1]
    bay.do(VERIFIED)


@pytest.mark.parametrize("noticed", [False, True])
def test_a_clock_set_back_during_a_pause_does_not_make_it_short(noticed: bool) -> None:
    """R33. How long it lasted is not known any more, so what stands is verified."""
    bay = Bay().walk("join")
    bay.do(PAUSE)
    if noticed:
        bay.do(Note(note="the laptop found the network"), after=-3600)
        bay.refused(RESUME, after=60)
    else:
        bay.decide(RESUME, after=-3600)
        assert bay.kinds()[-1] == "clock-back"
    assert bay.state.status == "paused"
    bay.do(VERIFIED)


def test_after_a_long_pause_nothing_is_asked_where_nothing_stands() -> None:
    bay = Bay().walk("tools")
    bay.do(PAUSE)
    bay.do(RESUME, after=86_400)


def test_a_change_of_hands_is_written_read_back_and_verified() -> None:
    """R34: both are named; R33: what stands is verified again, however short it was."""
    bay = Bay().walk("join")
    bay.do(HAND)
    assert bay.state.status == "paused"
    assert "read back in a few words" in bay.refused(RESUME, T2).opens_by[0].words
    assert bay.refused(Resume(resume="as told"), T2, after=0).why.startswith("After a long pause")
    bay.do(VERIFIED, who=T2)
    [pause] = bay.record().pauses
    assert (pause.by, pause.handed_to, pause.ended_by) == ("T1", "T2", "T2")
    assert (pause.handed_words, pause.loose, pause.first) == (HAND.words, HAND.loose, HAND.first)
    assert pause.read_back == "leads as told"
    assert bay.state.technician == "T2"
    assert "in the hands of T2" in bay.refused(GOOD["join"][0], T1).why
    bay.do(*GOOD["join"], who=T2)


@pytest.mark.parametrize("who", [T1, S1, N1])
def test_only_the_one_who_takes_the_job_resumes_it(who: Person) -> None:
    bay = Bay().walk("join")
    bay.do(HAND)
    refused = bay.refused(VERIFIED, who)
    assert refused.why == f"This job is in the hands of T2, not {who.id}."
    assert refused.opens_by[0].words == "T2 resumes it, or hands it over."


def test_a_job_handed_over_in_a_pause_keeps_what_both_wrote() -> None:
    bay = Bay().walk("join")
    bay.do(PAUSE, HAND)
    first, second = bay.record().pauses
    assert (first.reason, first.loose, first.handed_to) == ("lunch", PAUSE.loose, None)
    assert first.ended_at == second.at
    assert (second.reason, second.loose) == ("change of hands", HAND.loose)
    assert (second.first, second.handed_to) == (HAND.first, "T2")


def test_a_job_handed_on_before_it_was_taken_names_everybody() -> None:
    bay = Bay().walk("join")
    bay.do(HAND)
    bay.do(HAND.model_copy(update={"hand_over": "N1"}), who=T2)
    assert [pause.handed_to for pause in bay.record().pauses] == ["T2", "N1"]
    assert bay.state.technician == "N1"


def left_overnight(meaning: str, seconds: int = 9 * 3600) -> Bay:
    """Return a job that was left open overnight, and what T1 says that was."""
    bay = Bay().walk("join")
    bay.do(FindGap(gap="left", seconds=seconds), after=seconds)
    bay.do(ExplainGap(explain=meaning))
    return bay


def test_a_night_away_without_a_pause_is_resumed_like_one() -> None:
    """R33: a night counts, whether somebody pressed pause or not."""
    bay = left_overnight("away")
    assert bay.state.status == "paused"
    assert bay.refused(Answer(answer="join")).why == "The job is paused."
    assert bay.refused(RESUME).why.startswith("After a long pause")
    bay.do(VERIFIED)
    assert bay.state.current == "join"
    assert [pause.reason for pause in bay.record().pauses] == ["away"]


@pytest.mark.parametrize(
    ("meaning", "seconds"), [("worked", 9 * 3600), ("clock", 9 * 3600), ("away", LONG_PAUSE - 1)]
)
def test_other_gaps_are_gone_on_from_at_once(meaning: str, seconds: int) -> None:
    bay = left_overnight(meaning, seconds)
    assert bay.state.status == "open"
    assert bay.state.current == "join"


def test_a_gap_found_in_a_pause_leaves_the_job_paused() -> None:
    bay = Bay().walk("join")
    bay.do(PAUSE)
    bay.do(FindGap(gap="slept", seconds=9000), after=9000)
    bay.do(ExplainGap(explain="away"))
    assert bay.state.status == "paused"
    assert len(bay.state.pauses) == 1


def test_gaps_stand_in_the_record_with_what_they_were_said_to_be() -> None:
    bay = left_overnight("clock")
    bay.do(FindGap(gap="slept", seconds=30))
    meanings = [(gap.how, gap.seconds, gap.meaning) for gap in bay.record().gaps]
    assert meanings == [("left", 9 * 3600, "clock"), ("slept", 30, "not explained yet")]


def test_anybody_may_say_that_time_is_missing_but_only_the_technician_what_it_was() -> None:
    bay = Bay().walk("join")
    bay.do(FindGap(gap="left", seconds=60), who=S1)
    assert "in the hands of T1" in bay.refused(ExplainGap(explain="away"), S1).why


def left_by_t1(seconds: int = 9 * 3600) -> Bay:
    """Return a job that T1 left open, whose time is not accounted for."""
    bay = Bay().walk("join")
    bay.do(FindGap(gap="left", seconds=seconds), after=seconds)
    return bay


def test_a_supervisor_hands_on_a_job_whose_technician_has_left_a_gap() -> None:
    bay = left_by_t1()
    assert "or a supervisor" in bay.refused(HAND, T2).why
    bay.do(HAND, who=S1)
    assert bay.state.technician == "T2"
    assert bay.state.gap is not None and bay.state.gap.of == "T1"
    assert bay.refused(VERIFIED, T2).why == "Time passed that is not accounted for."


def test_nobody_says_of_another_that_they_worked() -> None:
    bay = left_by_t1()
    bay.do(HAND, who=S1)
    assert "only T1 can say that it was worked" in bay.refused(ExplainGap(explain="worked"), T2).why


def test_what_is_not_known_counts_as_nothing_and_who_said_so_stays() -> None:
    bay = left_by_t1()
    before = bay.state.phases[bay.state.phase or ""]
    bay.do(HAND, who=S1)
    bay.do(ExplainGap(explain="unknown"), who=T2)
    after = bay.state.phases[bay.state.phase or ""]
    assert after.worked == before.worked
    assert after.paused - before.paused < 3600 * 1000
    [gap] = bay.record().gaps
    assert gap.meaning == "unknown, said T2 of the time of T1"
    assert bay.refused(RESUME.model_copy(update={"resume": "as told"}), T2).why.startswith("After")
    bay.do(VERIFIED, who=T2)
    assert (bay.state.technician, bay.state.current) == ("T2", "join")


def test_time_that_whoever_takes_over_knows_to_be_a_pause_is_one() -> None:
    bay = left_by_t1()
    before = bay.state.phases[bay.state.phase or ""]
    bay.do(HAND, who=S1)
    bay.do(ExplainGap(explain="away"), who=T2)
    after = bay.state.phases[bay.state.phase or ""]
    assert after.worked == before.worked
    assert after.paused - before.paused >= 9 * 3600 * 1000
    assert bay.record().gaps[0].meaning == "away, said T2 of the time of T1"


def test_a_technician_who_does_not_know_verifies_after_a_long_gap() -> None:
    bay = left_overnight("unknown")
    assert bay.state.status == "paused"
    assert bay.refused(RESUME).why.startswith("After a long pause")
    assert bay.record().gaps[0].meaning == "unknown"
    assert left_overnight("unknown", 600).state.status == "open"


def test_unknown_time_makes_no_wait_shorter() -> None:
    bay = left_by_t1(3600)
    clock = bay.state.clock
    bay.do(ExplainGap(explain="unknown"))
    assert bay.state.clock - clock < 3600 * 1000


def test_a_note_in_a_pause_does_not_end_it() -> None:
    bay = Bay().walk("join")
    bay.do(PAUSE)
    bay.do(Note(note="owner rang"), who=S1)
    assert bay.state.status == "paused"
    assert bay.record().notes[0].step == "join"


def test_a_job_can_be_paused_before_its_hazards_are_accepted() -> None:
    bay = Bay()
    bay.do(PAUSE, RESUME, Accept(accept="hazards"))
    assert bay.state.current == "ask-amplifier"


def test_a_pause_at_a_shut_gate_comes_back_to_the_gate() -> None:
    bay = Bay().held(sound=[Answer(answer="sound", outcome="not fitted")])
    held = bay.state.gates["sound-before-refit"]
    bay.do(PAUSE, RESUME)
    assert bay.state.gates["sound-before-refit"] == held
    assert bay.kinds().count("gate-held") == 1


def test_a_pause_at_the_end_leaves_only_closing() -> None:
    bay = Bay().walk()
    bay.do(PAUSE, RESUME, Close(close="keys back"))
