"""Answers too fast to be true: below the shortest time, in bursts, and whole phases."""

from collections.abc import Sequence
from datetime import timedelta
from random import Random

import pytest
from asked import asked, closed, only, played
from bay import GOOD, SMALL_TEXT, Bay

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.figures import Figure, Figures
from baycompanion.audit.rules.haste import BURST_ANSWERS, BURST_GAP
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.quick_phases import KIND, fast_phases, keep_times
from baycompanion.job.actions import (
    Accept,
    Answer,
    Close,
    TickLine,
)
from baycompanion.procedure.load import load_procedure
from baycompanion.spread.outliers import FEWEST

SHORTEST = SMALL_TEXT.replace("id: route\n", "id: route\n        shortest: 2 min\n")
PROCEDURE = load_procedure(SHORTEST, "small-receiver.yaml").procedure


def found_after(seconds: float, **more: object) -> list[Finding]:
    """Return what is found where the step with a shortest time was done after so long."""
    bay = Bay(PROCEDURE).walk("route")
    bay.do(Answer(answer="route", **more), after=seconds)  # type: ignore[arg-type]
    return only("answered-too-fast", asked([played(bay)]))


def test_a_step_done_below_its_shortest_time_is_asked_about() -> None:
    [found] = found_after(119)
    assert found.events
    number = PROCEDURE.number["route"]
    assert f"step {number} in 119 s, shortest 2 min." in found.sentence
    assert found.sentence.endswith("?")


def test_a_step_done_in_its_shortest_time_is_not() -> None:
    assert found_after(120) == []


@pytest.mark.parametrize("on_paper", [True, False])
def test_a_late_entry_says_nothing_of_how_long_the_work_took(on_paper: bool) -> None:
    bay = Bay(PROCEDURE).walk("route")
    claimed = bay.now - timedelta(seconds=1)
    bay.do(Answer(answer="route", claimed=claimed, on_paper=on_paper), after=1)
    assert only("answered-too-fast", asked([played(bay)])) == []


def test_a_step_that_was_not_done_was_not_done_too_fast() -> None:
    assert found_after(1, outcome="not done", words="no cable") == []


def in_a_row(steps: Sequence[str], gap: float) -> list[Finding]:
    """Return the bursts in a job whose first `steps` were answered `gap` seconds apart."""
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    while bay.state.current not in steps:
        bay.good(bay.state.current or "")
    bay.good(steps[0])
    for step in steps[1:]:
        bay.do(*GOOD[step], after=gap)
    bay.walk().do(Close(close="keys back"))
    return only("answers-in-a-burst", asked([played(bay)]))


ROW = ["odometer", "promised", "stations", "code", "lamps"]


def test_several_steps_answered_within_seconds_are_asked_about_together() -> None:
    [burst] = in_a_row(ROW, BURST_GAP)
    assert burst.sentence.startswith("5 steps were answered within 12 s, each no more than 3 s")
    assert len(burst.events) == 5


def test_steps_answered_a_little_farther_apart_are_no_burst() -> None:
    assert in_a_row(ROW, BURST_GAP + 1) == []


def test_fewer_than_the_stated_number_are_no_burst() -> None:
    assert in_a_row(ROW[: BURST_ANSWERS - 1], 1) == []


def test_lines_ticked_within_a_second_are_no_burst() -> None:
    bay = Bay().walk("before")
    items = SMALL_ITEMS[: BURST_ANSWERS + 1]
    for item in items:
        bay.do(TickLine(tick="before", item=item, outcome="works"), after=0.2)
    assert len(items) >= BURST_ANSWERS
    assert only("answers-in-a-burst", asked([played(bay)])) == []


SMALL_ITEMS = [item.item for item in PROCEDURE.items_of(PROCEDURE.steps["before"])]


# --- whole phases -------------------------------------------------------------------------------


def phase_jobs(minutes: Sequence[float]) -> list[Finding]:
    """Return what is found of one phase in jobs that took so many minutes for it."""
    figures = Figures()
    for number, each in enumerate(minutes, start=1):
        figure = Figure(f"job-{number:03}", "T1", (3, 40), each * 60)
        figures.add(KIND, ("small-receiver", "refit"), figure)
    return list(fast_phases(figures))


def usual(jobs: int) -> list[float]:
    """Return phase times around 30 minutes, the same every time."""
    random = Random(7)
    return [30 * random.uniform(0.8, 1.25) for _ in range(jobs)]


def test_a_phase_far_below_the_spread_of_the_shop_is_asked_about() -> None:
    [found] = phase_jobs([*usual(FEWEST), 2])
    assert (found.job, found.events) == ("job-021", (3, 40))
    assert "took 2 min; half of the 21 jobs behind this" in found.sentence
    assert "below −3.5 is told" in found.sentence


def test_a_slow_phase_is_not_asked_about() -> None:
    assert phase_jobs([*usual(FEWEST), 600]) == []


def test_nothing_is_said_of_phases_with_too_few_jobs_behind_them() -> None:
    assert phase_jobs([*usual(FEWEST - 2), 2]) == []


def test_the_time_of_a_phase_comes_from_closed_jobs_only() -> None:
    def worked(job: Played) -> set[str]:
        figures = Figures()
        keep_times(job, figures)
        return {alike[1] for alike, _ in figures.groups(KIND)}

    bay = closed()
    assert worked(played(bay)) == {phase.phase for phase in bay.procedure.phases}
    assert worked(played(Bay().walk("keys"))) == set()
