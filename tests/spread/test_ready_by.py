"""When a running job will be ready: from which past jobs, and that the promise is kept."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.spread.ready_by import (
    FEWEST,
    FEWEST_OUTLASTING,
    PastJob,
    Remaining,
    remaining,
)
from baycompanion.spread.silence import Silence

SECONDS = st.integers(min_value=0, max_value=100_000)
PAST = st.lists(st.builds(PastJob, SECONDS, SECONDS), max_size=60)


def test_with_nineteen_past_jobs_the_tenth_is_likely_and_the_eighteenth_safe() -> None:
    """Of 19, the 10th is (19 + 1) × 0.5 and the 18th (19 + 1) × 0.9: k ÷ (n + 1)."""
    past = [PastJob(phase=10 * n, later=n) for n in range(1, 20)]
    assert remaining(past, 0) == Remaining(likely=110, safe=198, jobs=19, past=19)


def test_only_jobs_that_were_as_long_in_the_phase_count() -> None:
    """Nine quick jobs say nothing of one that has been in the phase for 30 min already."""
    quick, slow = [PastJob(20, 5)] * 9, [PastJob(40, 100 + n) for n in range(9)]
    assert remaining(quick + slow, 30) == Remaining(likely=114, safe=118, jobs=9, past=18)


def test_a_job_of_just_the_time_spent_still_counts() -> None:
    assert remaining([PastJob(30, 60)] * 10, 30) == Remaining(60, 60, jobs=10, past=10)


def test_eight_jobs_give_a_likely_time_and_promise_no_9_in_10() -> None:
    past = [PastJob(10, 0)] * 5 + [PastJob(50, n) for n in range(8)]
    assert remaining(past, 20) == Remaining(likely=34, safe=None, jobs=8, past=13)


def test_nothing_is_said_with_fewer_jobs_than_stated() -> None:
    assert remaining([PastJob(10, 10)] * 9, 0) == Silence("too few", 9, FEWEST)


def test_nothing_is_said_of_a_phase_that_outlasts_nearly_all_there_were() -> None:
    past = [PastJob(10, 10)] * 20 + [PastJob(90, 10)] * 2
    assert remaining(past, 60) == Silence("too few", 2, FEWEST_OUTLASTING)


@given(PAST, SECONDS)
def test_what_is_said_is_a_time_that_a_past_job_took(past: list[PastJob], spent: int) -> None:
    found = remaining(past, spent)
    rests = {job.phase - spent + job.later for job in past if job.phase >= spent}
    if isinstance(found, Remaining):
        assert found.likely in rests
        assert found.safe is None or found.safe in rests
        assert found.safe is None or 0 <= found.likely <= found.safe
        assert (found.safe is None) == (found.jobs < 9)
    else:
        assert len(past) < FEWEST or len(rests) <= 2


@given(PAST, SECONDS, st.randoms())
def test_the_order_of_the_past_jobs_makes_no_difference(
    past: list[PastJob], spent: int, chance: object
) -> None:
    shuffled = list(past)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert remaining(shuffled, spent) == remaining(past, spent)


@given(PAST, SECONDS)
def test_another_unit_of_time_gives_the_same_time(past: list[PastJob], spent: int) -> None:
    here = remaining(past, spent)
    there = remaining([PastJob(j.phase * 1000, j.later * 1000) for j in past], spent * 1000)
    if isinstance(here, Remaining):
        safe = None if here.safe is None else here.safe * 1000
        assert there == Remaining(here.likely * 1000, safe, here.jobs, here.past)
    else:
        assert there == here


@pytest.mark.parametrize("wrong", [-1.0, float("nan"), float("inf")])
def test_times_below_zero_are_refused(wrong: float) -> None:
    fine = [PastJob(1, 1)] * 10
    for past, spent in ((fine, wrong), ([*fine, PastJob(wrong, 1)], 0), ([PastJob(1, wrong)], 0)):
        with pytest.raises(ValueError, match="0 or more"):
            remaining(past, spent)
