"""When a job is likely to be ready, in words: from the same phases, and only with enough jobs.

The two ranks are those of `tests/spread/test_ready_by.py`; here it is what is made of them.
"""

from dataclasses import replace
from datetime import datetime, timedelta

from bay import SMALL, SMALL_TEXT, START, Bay

from baycompanion.job.actions import Accept
from baycompanion.job.hands_actions import PauseWork
from baycompanion.job.record.making import make_record
from baycompanion.job.record.past_job import PastJob
from baycompanion.job.state.state import Gap, PhaseTime
from baycompanion.job.state.timing import phase_spans
from baycompanion.procedure.load import load_procedure
from baycompanion.views.board.ready_by import ReadyBy, ready_by, ready_by_of_listed
from baycompanion.views.card.place import phase_strip

NAMES = [span.phase for span in phase_spans(SMALL, Bay().state)]


def past(minutes: list[int], phases: list[str] | None = None) -> list[PastJob]:
    """Return jobs that took so many minutes in the first phase and ten in each later one."""
    record = make_record(SMALL, Bay().state, Bay().events).model_dump()
    template = record["phases"][0]
    made = []
    for number, first in enumerate(minutes):
        names = phases or NAMES
        times = [first, *[10] * (len(names) - 1)]
        record["status"], record["ended_at"], record["job"] = "closed", "x", f"job-{number}"
        record["phases"] = [
            {**template, "phase": name, "worked_seconds": 60 * time}
            for name, time in zip(names, times, strict=True)
        ]
        made.append(PastJob.model_validate(record))
    return made


FOURTEEN = past(list(range(11, 25)))
LATER = 10 * (len(NAMES) - 1)


def begun() -> Bay:
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    return bay


def said(bay: Bay, jobs: list[PastJob], when: datetime) -> ReadyBy | None:
    return ready_by(bay.procedure, bay.state, jobs, when)


def clock(minutes: int) -> str:
    """Return the wall clock so many minutes after the job was begun, up to the next five."""
    at = begun().now + timedelta(minutes=minutes)
    at += timedelta(minutes=-at.minute % 5)
    return f"{at:%H:%M}"


def test_a_job_at_work_is_told_by_two_times_of_day() -> None:
    """Of 14, the 8th is (14 + 1) × 0.5 and the 14th (14 + 1) × 0.9, both rounded up."""
    bay = begun()
    told = said(bay, FOURTEEN, bay.now)
    likely, safe = clock(18 + LATER), clock(24 + LATER)
    assert str(told) == f"likely by {likely}, 9 in 10 by {safe} (14 jobs)"
    assert told is not None and told.phrases == (
        f"ready: likely by {likely}, 9 in 10 by {safe} (14 jobs)",
        f"likely by {likely}, 9 in 10 by {safe} (14 jobs)",
        f"likely by {likely}, 9 in 10 by {safe}",
        f"likely by {likely}",
    )


def test_nothing_is_said_below_ten_jobs() -> None:
    bay = begun()
    assert said(bay, FOURTEEN[:9], bay.now) is None
    assert said(bay, FOURTEEN[:10], bay.now) is not None
    assert said(bay, [], bay.now) is None


def test_the_times_of_day_stay_while_the_work_goes_as_the_past_did() -> None:
    bay = begun()
    first = said(bay, FOURTEEN, bay.now)
    later = said(bay, FOURTEEN, bay.now + timedelta(minutes=5))
    assert first is not None and later is not None and str(first) == str(later)
    assert later.left.likely == first.left.likely - 5 * 60


def test_a_job_that_outlasts_some_says_how_many_still_stand_behind_it() -> None:
    bay = begun()
    told = said(bay, FOURTEEN, bay.now + timedelta(minutes=19))
    assert told is not None
    assert str(told).endswith("(6 of 14 jobs)")
    assert "9 in 10" not in str(told)
    assert said(bay, FOURTEEN, bay.now + timedelta(minutes=23)) is None


def test_a_paused_job_is_told_by_the_work_that_is_left() -> None:
    bay = begun()
    bay.do(PauseWork(pause="lunch", loose="nothing", first="go on"), after=60)
    told = said(bay, FOURTEEN, bay.now + timedelta(hours=3))
    assert told is not None and not told.at_work
    likely, safe = -(-(17 + LATER) // 5) * 5, -(-(23 + LATER) // 5) * 5
    hours = [f"{each // 60} h {each % 60:02} min" for each in (likely, safe)]
    assert str(told) == f"about {hours[0]} of work left, 9 in 10 within {hours[1]} (14 jobs)"
    assert told.as_dict()["likely_by"] is None
    assert told.as_dict()["likely_seconds"] == 60 * (17 + LATER)


def test_a_job_not_begun_is_told_by_the_work_that_is_left() -> None:
    told = said(Bay(), FOURTEEN, START)
    assert told is not None and "of work left" in str(told)


def test_a_listed_job_that_was_silent_for_a_while_is_told_by_the_work_that_is_left() -> None:
    bay = begun()
    soon = ready_by_of_listed(bay.procedure, bay.state, FOURTEEN, bay.now + timedelta(seconds=120))
    late = ready_by_of_listed(bay.procedure, bay.state, FOURTEEN, bay.now + timedelta(seconds=121))
    assert soon is not None and soon.at_work and soon.left.likely == 60 * (16 + LATER)
    assert late is not None and not late.at_work and late.left.likely == 60 * (18 + LATER)


def test_nothing_is_said_while_time_is_to_be_explained() -> None:
    bay = begun()
    state = replace(bay.state, gap=Gap(600_000, "left", "2026-03-02T08:00:00Z", "T1"))
    assert ready_by(bay.procedure, state, FOURTEEN, bay.now) is None


def test_nothing_is_said_of_work_that_went_back_to_an_earlier_phase() -> None:
    bay = begun()
    later = {**bay.state.phases, NAMES[1]: PhaseTime(1000, 0, bay.state.last_at)}
    assert ready_by(bay.procedure, replace(bay.state, phases=later), FOURTEEN, bay.now) is None


def test_only_jobs_of_the_same_phases_from_here_on_count() -> None:
    bay = begun()
    fewer = past([15] * 14, NAMES[:-1])
    assert said(bay, fewer, bay.now) is None
    assert said(bay, [*fewer, *FOURTEEN], bay.now) == said(bay, FOURTEEN, bay.now)


def test_while_a_choice_is_open_jobs_with_and_without_its_phase_count() -> None:
    """The first phase past the one in hand comes with a choice that nobody has settled yet."""
    bay = begun()
    text = SMALL_TEXT.replace(
        f"  - phase: {NAMES[1]}\n", f"  - phase: {NAMES[1]}\n    when: CHOICE\n"
    )
    assert text != SMALL_TEXT
    text = text.replace("CHOICE", "{ amplifier: yes }")
    procedure = load_procedure(text, "procedure.yaml").procedure
    without = past([15] * 7, [NAMES[0], *NAMES[2:]])
    jobs = [*without, *FOURTEEN[:7]]
    told = ready_by(procedure, bay.state, jobs, bay.now)
    assert told is not None and told.left.past == 14
    settled = replace(bay.state, choices={"amplifier": "yes"})
    assert ready_by(procedure, settled, jobs, bay.now) is None
    assert ready_by(procedure, settled, [*jobs, *FOURTEEN[7:]], bay.now) == said(
        bay, FOURTEEN, bay.now
    )


def test_another_day_is_named() -> None:
    bay = begun()
    evening = bay.now.replace(hour=23, minute=30)
    told = ReadyBy(said(bay, FOURTEEN, bay.now).left, evening, at_work=True)  # type: ignore[union-attr]
    assert str(told).startswith("likely by 2026-03-03 0")


def test_a_narrow_line_gives_up_the_title_then_ready_then_the_jobs_then_the_safe_time() -> None:
    bay = begun()
    told = said(bay, FOURTEEN, bay.now)
    assert told is not None

    def strip(width: int) -> str:
        procedure, state = bay.procedure, bay.state
        return phase_strip(procedure, state, bay.now, told.phrases, lambda line: len(line) <= width)

    title = " · phase 1 of "
    needed = strip(10).split(title)[0]
    assert f"{needed} · {told.phrases[0]}{title}" in strip(200)
    for phrase in told.phrases:
        assert strip(len(f"{needed} · {phrase}")) == f"{needed} · {phrase}"
    assert strip(len(needed)).startswith(f"{needed}{title}")
