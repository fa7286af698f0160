"""The timeline: stretches of each phase, pauses, gaps and gates of jobs whose times are known.

The record is the check: what the timeline lays along the line has to add up to its phase times.
"""

from datetime import UTC, datetime

import pytest
from any_actions import SECONDS, next_actions
from bay import GOOD, S1, SMALL, T1, T2, Bay
from hypothesis import given
from hypothesis import strategies as st
from ordered import ordered_bay
from second_person import closed_for_now
from silent_speaker import FAILED, OVERRIDE, V2

from baycompanion.job.actions import (
    Answer,
    ClearFault,
    Close,
    Note,
    Reopen,
)
from baycompanion.job.events.kinds import Overridden
from baycompanion.job.events.moment import milliseconds
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    HandOver,
    PauseWork,
    Resume,
)
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.timeline.marks import make_timeline
from baycompanion.job.timeline.values import Mark, Timeline

MINUTE = 60_000
PAUSE = PauseWork(pause="lunch", loose="dash trim", first="plug the harness in")
RESUME = Resume(resume="as it was left", still_true=("battery-off",), gate_checked=True)


def line_of(bay: Bay) -> Timeline:
    return make_timeline(bay.procedure, bay.events)


def marks(timeline: Timeline, what: str) -> list[Mark]:
    return [mark for mark in timeline.marks if mark.what == what]


def minutes(timeline: Timeline, phase: str) -> list[tuple[str, float, float]]:
    """Return the stretches of a phase, in minutes since its first one began."""
    stretches = timeline.of_phase(phase)
    first = stretches[0].begins
    return [
        (each.sort, (each.begins - first) / MINUTE, (each.ends - first) / MINUTE)
        for each in stretches
    ]


# --- times that are known ------------------------------------------------------------------------


def test_a_phase_is_one_stretch_from_its_first_step_to_the_next_phase() -> None:
    """In this bay every action takes a minute, the acceptance of the hazards too."""
    bay = Bay().walk("rest-voltage")
    line = line_of(bay)
    [take_in] = line.stretches
    assert (take_in.phase, take_in.sort, take_in.begins) == ("take-in", "worked", MINUTE)
    assert take_in.ends == line.length
    assert take_in.length == 1000 * bay.record().phases[0].worked_seconds > 0


def test_time_before_the_first_step_and_after_the_end_is_in_no_stretch() -> None:
    bay = Bay()
    bay.do(Note(note="keys in"), after=3600)
    assert line_of(bay).stretches == ()
    assert line_of(bay).length == 3_600_000


def test_a_pause_parts_its_phase_and_is_a_stretch_of_its_own() -> None:
    bay = Bay().walk("route")
    bay.do(PAUSE, after=300)
    bay.do(RESUME, after=1800)
    bay.do(Answer(answer="route"), after=120)
    line = line_of(bay)
    assert minutes(line, "refit")[:3] == [("worked", 0, 5), ("paused", 5, 35), ("worked", 35, 37)]
    [pause] = marks(line, "pause")
    assert (pause.ends or 0) - pause.at == 30 * MINUTE
    assert pause.ended_by is not None and pause.ended_by.kind == "resumed"
    assert pause.phase == "refit"


def test_a_phase_that_is_gone_back_to_has_two_stretches() -> None:
    bay = Bay().walk("route")
    bay.do(Reopen(reopen="sound", reason="rear left is silent"), after=600)
    bay.walk("route")
    line = line_of(bay)
    worked = [each for each in line.of_phase("bench") if each.sort == "worked"]
    assert len(worked) == 2
    assert worked[1].begins - worked[0].ends == 10 * MINUTE, "the time in refit lies between"
    [reopened] = marks(line, "step reopened")
    assert (reopened.phase, reopened.step, reopened.at) == ("bench", "sound", worked[1].begins)


@pytest.mark.parametrize(
    ("meaning", "sort"),
    [
        ("worked", "worked"),
        ("away", "paused"),
        ("clock", "unaccounted"),
        ("unknown", "unaccounted"),
    ],
)
def test_a_gap_is_what_it_was_said_to_be_and_ends_where_it_was_found(
    meaning: str, sort: str
) -> None:
    """15 minutes passed and the laptop slept for the last 10 of them."""
    bay = Bay().walk("route")
    bay.do(FindGap(gap="slept", seconds=600), after=900)
    assert [each[0] for each in minutes(line_of(bay), "refit")] == ["worked", "unaccounted"]
    bay.do(ExplainGap(explain=meaning), after=0)
    bay.do(Answer(answer="route"), after=60)
    stretches = minutes(line_of(bay), "refit")
    if sort == "worked":
        assert stretches == [("worked", 0, 16)]
    else:
        assert stretches == [("worked", 0, 5), (sort, 5, 15), ("worked", 15, 16)]
    [gap] = marks(line_of(bay), "gap")
    assert milliseconds(gap.moment) == gap.event.milliseconds - 10 * MINUTE
    assert (gap.ends, gap.ended_by and gap.ended_by.kind) == (
        gap.at + 10 * MINUTE,
        "gap-explained",
    )


def test_a_long_gap_away_is_a_pause_that_began_with_the_gap() -> None:
    bay = Bay().walk("route")
    left = bay.now
    bay.do(FindGap(gap="left", seconds=14 * 3600), after=14 * 3600)
    bay.do(ExplainGap(explain="away"), after=0)
    line = line_of(bay)
    [pause] = marks(line, "pause")
    assert milliseconds(pause.moment) == int(left.timestamp() * 1000)
    assert minutes(line, "refit") == [("paused", 0, 14 * 60)]


def test_a_gap_that_grew_while_nobody_explained_it_is_one_mark_and_one_time() -> None:
    bay = Bay().walk("route")
    left = bay.now
    bay.do(FindGap(gap="left", seconds=600), after=600)
    bay.do(FindGap(gap="left", seconds=1200), after=1200)
    assert minutes(line_of(bay), "refit") == [("unaccounted", 0, 30)]
    bay.do(ExplainGap(explain="worked"), after=0)
    line = line_of(bay)
    [gap] = marks(line, "gap")
    assert milliseconds(gap.moment) == int(left.timestamp() * 1000)
    assert (gap.ends or 0) - gap.at == 30 * MINUTE
    assert minutes(line, "refit") == [("worked", 0, 30)]


def test_a_clock_set_back_moves_the_times_of_day_and_not_the_line() -> None:
    bay = Bay().walk("route")
    at = bay.now
    bay.do(Note(note="the laptop found the network"), after=-3600)
    bay.do(Answer(answer="route"), after=120)
    line = line_of(bay)
    [back] = marks(line, "clock set back")
    wall = int(at.timestamp() * 1000)
    assert line.wall_before(back.at) == wall
    assert line.wall(back.at) == wall - 3_600_000
    assert line.wall(line.length) == bay.events[-1].milliseconds
    assert minutes(line, "refit")[-1][2] == 2


def test_a_gate_is_marked_where_it_held_and_where_it_opened() -> None:
    bay = Bay().held(sound=FAILED)
    held_at = line_of(bay).length
    bay.do(Reopen(reopen="sound", reason="lead joined anew"), after=600)
    bay.do(ClearFault(clear=1, words="lead joined anew"), after=60)
    bay.walk("route")
    line = line_of(bay)
    [shut] = [mark for mark in marks(line, "gate shut") if mark.gates == ("sound-before-refit",)]
    opened = next(m for m in marks(line, "gate opened") if "sound-before-refit" in m.gates)
    assert (shut.at, shut.phase, shut.ends) == (held_at, "refit", opened.at)
    assert shut.ended_by is not None and shut.ended_by.kind == "gate-opened"
    assert len(shut.events) >= 1


def test_a_gate_that_stays_shut_has_no_end() -> None:
    [shut] = marks(line_of(Bay().held(sound=FAILED)), "gate shut")
    assert (shut.ends, shut.ended_by) == (None, None)


def test_an_override_ends_the_hold_and_stands_on_the_row_it_held() -> None:
    bay = Bay().held(sound=FAILED)
    bay.do(OVERRIDE, who=V2, after=1500)
    line = line_of(bay)
    [over], [shut] = marks(line, "gate overridden"), marks(line, "gate shut")
    assert (over.phase, over.event.by, over.gates) == ("refit", "V2", ("sound-before-refit",))
    assert (over.at - shut.at, shut.ends) == (25 * MINUTE, over.at)


def test_gates_that_open_at_once_before_one_step_are_one_mark() -> None:
    line = line_of(Bay().walk())
    opened = [gate for mark in marks(line, "gate opened") for gate in mark.gates]
    assert len(opened) == len(set(opened))
    assert sum(len(mark.events) for mark in marks(line, "gate opened")) == len(opened)


def test_a_gate_opened_on_work_released_for_now_is_told_apart() -> None:
    line = line_of(closed_for_now())
    assert marks(line, "released for now")
    for_now = marks(line, "gate opened for now")
    assert len(for_now) == 1
    assert for_now[0].gates not in [mark.gates for mark in marks(line, "gate opened")]


def test_a_fault_lasts_until_it_is_put_right() -> None:
    bay = Bay().held(sound=FAILED)
    bay.do(ClearFault(clear=1, words="lead joined anew"), after=600)
    line = line_of(bay)
    [fault], [cleared] = marks(line, "fault"), marks(line, "fault cleared")
    assert (fault.phase, cleared.phase) == ("bench", "bench")
    assert fault.ends == cleared.at == line.length


def test_other_hands_stand_with_the_pause_that_they_came_in() -> None:
    bay = Bay().walk("route")
    bay.do(HandOver(hand_over="T2", words="joins done", loose="none", first="tug"), after=60)
    bay.do(RESUME, who=T2, after=600)
    line = line_of(bay)
    [hands], [pause] = marks(line, "other hands"), marks(line, "pause")
    assert (hands.at, hands.phase) == (pause.at, "refit")
    assert (pause.ended_by and pause.ended_by.by) == "T2"


def test_a_step_copied_from_paper_is_one_mark_with_all_its_lines() -> None:
    bay = Bay().walk("odometer")
    paper = {"claimed": datetime(2026, 3, 2, 8, tzinfo=UTC), "on_paper": True}
    bay.do(Answer(answer="odometer", value="80123", **paper))
    line = line_of(bay)
    [mark] = marks(line, "from paper")
    assert (mark.step, mark.at, mark.phase) == ("odometer", line.length, "take-in")


def test_a_second_person_is_marked_on_the_row_of_what_they_saw() -> None:
    [seen] = marks(line_of(Bay().walk("route")), "second person")
    assert (seen.event.by, seen.step, seen.phase) == (S1.id, "second-look", "bench")


def test_the_keys_are_the_two_ends_of_a_job() -> None:
    bay = Bay().walk("keys")
    bay.do(*GOOD["keys"], Close(close="keys back"))
    line = line_of(bay)
    assert (line.marks[0].what, line.marks[0].at) == ("keys in", 0)
    assert (line.marks[-1].what, line.marks[-1].at) == ("keys back", line.length)


# --- whatever anybody does -----------------------------------------------------------------------

WALKS = ["tools", "disconnect", "join", "cure", "sound", "back", "keys", None]


@given(st.data())
def test_what_holds_for_every_job(draw: st.DataObject) -> None:
    bay = ordered_bay().walk(draw.draw(st.sampled_from(WALKS)))
    for _ in range(draw.draw(st.integers(1, 25))):
        action, who = draw.draw(next_actions(bay))
        bay.decide(action, who, draw.draw(SECONDS))
    if held := gates_holding(bay.procedure, bay.state):
        bay.decide(OVERRIDE.model_copy(update={"override": held[0]}), V2, 60)
    line = line_of(bay)
    _never_overlap(line)
    _adds_up_to_the_record(line, bay)
    _every_override_once(line, bay)
    places = [(mark.at, mark.event.seq) for mark in line.marks]
    assert places == sorted(places)
    assert all(0 <= mark.at <= (mark.ends or line.length) <= line.length for mark in line.marks)


def _never_overlap(line: Timeline) -> None:
    at = 0
    for each in line.stretches:
        assert at <= each.begins < each.ends <= line.length
        at = each.ends


def _adds_up_to_the_record(line: Timeline, bay: Bay) -> None:
    """Hold the lengths against the phase times of the record, and against the job's own clock."""
    for phase in bay.record().phases:
        for sort, said in (("worked", phase.worked_seconds), ("paused", phase.paused_seconds)):
            lengths = [e.length for e in line.of_phase(phase.phase) if e.sort == sort]
            assert sum(lengths) // 1000 == said, (phase.phase, sort)
    assert line.wall(line.length) == bay.events[-1].milliseconds
    unknown = sum(each.length for each in line.stretches if each.sort == "unaccounted")
    assert bay.state.clock <= line.length - unknown


def _every_override_once(line: Timeline, bay: Bay) -> None:
    written = [event.seq for event in bay.events if isinstance(event.data, Overridden)]
    told = [m.event.seq for m in marks(line, "gate overridden")]
    assert sorted(told) == written
    every = [event.seq for mark in line.marks for event in mark.events]
    assert len(every) == len(set(every)), "no event stands twice"


def test_a_gate_and_a_phase_that_a_newer_revision_took_away_are_told_by_their_ids() -> None:
    bay = Bay().held(sound=FAILED)
    bay.do(OVERRIDE, who=V2)
    bay.walk("route")
    gone = SMALL.model_copy(
        update={
            "phases": [phase for phase in SMALL.phases if phase.phase != "bench"],
            "gates": [gate for gate in SMALL.gates if gate.gate != "sound-before-refit"],
        }
    )
    line = make_timeline(gone, bay.events)
    assert line.of_phase("bench") == line_of(bay).of_phase("bench")
    assert [m.gates for m in marks(line, "gate overridden")] == [("sound-before-refit",)]
    assert T1.id in {mark.event.by for mark in line.marks}
