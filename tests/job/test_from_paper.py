"""Entries copied from the paper form: both times, marked so for ever, and a wait that ran there."""

from datetime import datetime, timedelta

import pytest
from bay import Bay, tick

from baycompanion.job.actions import (
    Acknowledge,
    Answer,
    SetWait,
    TickLine,
    TickRest,
)
from baycompanion.job.deciding.late import LATEST_ENTRY

LATER = timedelta(hours=2)


def lines(bay: Bay, step: str) -> list[tuple[str | None, bool]]:
    record = next(each for each in bay.record().steps if each.id == step)
    return [(line.claimed, line.on_paper) for line in record.lines]


def attempt(bay: Bay, step: str) -> tuple[str, str | None, bool]:
    record = next(each for each in bay.record().steps if each.id == step)
    return record.attempts[-1].at, record.attempts[-1].claimed, record.attempts[-1].on_paper


def test_an_answer_copied_from_paper_has_both_times_and_is_marked() -> None:
    """R54, R36."""
    bay = Bay().walk("odometer")
    done = bay.now
    bay.do(Answer(answer="odometer", value="80123", on_paper=True, claimed=done), after=7200)
    assert attempt(bay, "odometer") == (
        "2026-03-02T10:09:00.000Z",
        "2026-03-02T08:09:00.000Z",
        True,
    )


def test_lines_copied_from_paper_are_marked_one_by_one() -> None:
    bay = Bay().walk("before")
    horn = tick("before", "horn", "works", claimed=bay.now, on_paper=True)
    bay.do(horn, tick("before", "low-beam", "works"))
    bay.do(TickRest(tick_rest="before", claimed=bay.now, on_paper=True))
    marked = [on_paper for _, on_paper in lines(bay, "before")]
    assert marked == [True, False, True, True]


def test_an_entry_made_late_from_memory_is_not_marked_as_from_paper() -> None:
    bay = Bay().walk("odometer")
    bay.do(Answer(answer="odometer", value="80123", claimed=bay.now))
    assert attempt(bay, "odometer")[2] is False


@pytest.mark.parametrize(
    ("moved", "why"),
    [(None, "say when it was done"), (LATER, "lies ahead"), (-2 * LATEST_ENTRY, "days back")],
)
def test_paper_says_when_and_not_in_the_future(moved: timedelta | None, why: str) -> None:
    bay = Bay().walk("odometer")
    when = None if moved is None else bay.now + moved
    for action in (
        Answer(answer="odometer", value="1", on_paper=True, claimed=when),
        TickLine(tick="tools", item="trim-tool", outcome="here", on_paper=True, claimed=when),
    ):
        assert why in bay.refused(action, after=1).why


def at_the_wait() -> tuple[Bay, datetime]:
    """Return a job keyed in two hours late up to its wait, and when the wait began on paper."""
    bay = Bay().walk("disconnect")
    began = bay.now + timedelta(minutes=5)
    bay.do(Acknowledge(acknowledge="disconnect"), after=7200)
    bay.do(Answer(answer="disconnect", on_paper=True, claimed=began))
    bay.do(SetWait(set_wait="reserve", lasts=900, source="maker's manual"))
    return bay, began


@pytest.mark.parametrize(("seconds", "over"), [(-60, False), (899, False), (900, True)])
def test_a_wait_that_ran_out_while_the_work_went_on_by_hand_is_over(
    seconds: int, over: bool
) -> None:
    """The battery came off at one time on paper, and the wait ended at another."""
    bay, began = at_the_wait()
    action = Answer(answer="reserve", on_paper=True, claimed=began + timedelta(seconds=seconds))
    if not over:
        assert "cannot be shortened" in bay.refused(action).why
        return
    bay.do(action)
    assert bay.step("reserve") == "done"
    assert attempt(bay, "reserve")[2] is True


def test_a_wait_is_never_over_by_a_time_claimed_from_memory() -> None:
    """R30: it cannot be keyed through."""
    bay, began = at_the_wait()
    bay.refused(Answer(answer="reserve", claimed=began + timedelta(seconds=900)))
