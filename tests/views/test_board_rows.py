"""A job on the bay board says in two lines which it is, how far, and what it waits for."""

from datetime import timedelta

import pytest
from bay import SMALL, SMALL_TEXT, Bay

from baycompanion.job.actions import Abandon, Accept, Answer
from baycompanion.job.hands_actions import FindGap, PauseWork
from baycompanion.job.record.earlier import earlier_job
from baycompanion.procedure.load import load_procedure
from baycompanion.views.board.board import BoardRow, board_row, ended_line, waits_for

COUNT = len(SMALL.steps)
SILENT = [Answer(answer="sound", outcome="not fitted")]


def row(bay: Bay, **later: float) -> BoardRow:
    return board_row(bay.procedure, bay.state, bay.now + timedelta(**later))


def test_a_new_job_waits_for_its_hazards_to_be_read() -> None:
    new = row(Bay())
    assert new.headline == "WO 7 · Blue van · Fit a small receiver · T1"
    assert new.detail == f"step 1 of {COUNT} · 0 min of 2 h 10 min · the hazards to be read"


def test_a_new_job_without_hazards_waits_for_no_reading_of_them() -> None:
    bare = SMALL.model_copy(update={"hazards": ()})
    assert waits_for(bare, Bay().state) == "a word that the procedure fits"


def test_a_job_under_way_names_phase_step_and_what_is_done_now() -> None:
    now = row(Bay().walk("route"))
    assert (now.phase, now.step, now.steps) == ("Refit", SMALL.number["route"], COUNT)
    assert now.target_seconds == 130 * 60
    assert now.waits_for == "now: Route the leads."


@pytest.mark.parametrize(
    ("bay", "waits_for"),
    [
        (lambda: Bay().held(sound=SILENT), "gate shut: sound-before-refit"),
        (lambda: Bay().walk(), "to be closed"),
    ],
)
def test_a_job_says_what_it_waits_for(bay: object, waits_for: str) -> None:
    assert row(bay()).waits_for == waits_for  # type: ignore[operator]


def test_a_paused_job_says_why_and_its_clock_stands() -> None:
    bay = Bay().walk("gauges")
    bay.do(PauseWork(pause="lunch", loose="nothing", first="count"))
    assert row(bay).waits_for == "paused: lunch"
    assert row(bay, hours=3).worked_seconds == row(bay).worked_seconds


def test_time_that_nobody_accounted_for_is_what_a_job_waits_for_first() -> None:
    bay = Bay().walk("gauges")
    before = row(bay).worked_seconds
    bay.do(FindGap(gap="left", seconds=3600), after=3600)
    assert row(bay).waits_for == "time to be explained"
    assert row(bay, hours=1).worked_seconds == before


def test_a_job_that_was_left_does_not_seem_to_be_worked_on_all_night() -> None:
    bay = Bay().walk("gauges")
    assert row(bay, minutes=1).worked_seconds - row(bay).worked_seconds == 60
    assert row(bay, hours=14).worked_seconds == row(bay).worked_seconds, "as the record says"
    assert row(bay, hours=-1).worked_seconds == row(bay).worked_seconds


def test_a_procedure_without_targets_still_has_a_line() -> None:
    text = "\n".join(line for line in SMALL_TEXT.splitlines() if "    target: " not in line)
    bay = Bay(load_procedure(text, "small.yaml").procedure)
    assert row(bay).detail.startswith(f"step 1 of {COUNT} · 0 min of 0 min")


def test_an_ended_job_is_one_line() -> None:
    bay = Bay()
    line = ended_line(bay.state.opened, bay.state.opened_at, "closed")
    assert line == "2026-03-02 · WO 7 · Blue van · Fit a small receiver · closed"


def test_an_ended_job_names_the_one_that_its_vehicle_came_back_from() -> None:
    before = Bay()
    before.do(Accept(accept="hazards"), Abandon(abandon="sold"))
    opened = before.state.opened.model_copy(update={"earlier": earlier_job(before.record())})
    line = ended_line(opened, before.state.opened_at, "closed")
    assert line.endswith(" · closed · came back from WO 7")
