"""Answers at equal distances: told when planted, and hardly ever on honest work."""

from math import exp
from random import Random

import pytest
from asked import asked, only, played
from bay import GOOD, Bay

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.pacing import GAPS, is_even
from baycompanion.job.actions import Accept


def found_with(gaps: list[float]) -> list[Finding]:
    """Return what is found in a job whose answers are so many seconds apart."""
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    left = list(gaps)
    while left and bay.state.current:
        step = bay.state.current
        actions = GOOD[step]
        bay.do(*actions[:-1], after=0.0) if actions[:-1] else None
        bay.do(actions[-1], after=left.pop(0))
    return only("answers-evenly-spaced", asked([played(bay)]))


def even_in(gaps: list[float]) -> bool:
    """Return whether some row among `gaps`, in seconds, is nearly equal."""
    whole = [round(1000 * gap) for gap in gaps]
    return any(is_even(whole[at : at + GAPS]) for at in range(len(whole) - GAPS + 1))


@pytest.mark.parametrize(("spread", "stated"), [(0.3, 1e-4), (0.6, 1e-5)])
def test_honest_work_is_seldom_that_even(spread: float, stated: float) -> None:
    """40,000 windows of eight gaps stand for some 1,200 jobs of forty steps; none may be even.

    The chance of one window by the density of a normal sample's range, n × w^(n−1) × ∫ f^n (worked
    by hand: n wide, 95 thousandths of log time, is w), is 1.5e-6 at a spread of 0.3.
    """
    chance = Random(9)
    gaps = [60 * exp(chance.gauss(0, spread)) for _ in range(40_000)]
    assert not even_in(gaps)
    width = 0.0953 / (spread * (2 * 3.14159) ** 0.5)
    by_formula = 33 * GAPS * width ** (GAPS - 1) / GAPS**0.5
    assert by_formula < stated


def test_a_row_of_equal_gaps_is_even_and_one_other_breaks_it() -> None:
    assert even_in([20.0, 20.5, 19.5, 21.0, 20.0, 20.2, 20.9, 19.8])
    assert not even_in([20.0, 20.5, 19.5, 23.0, 20.0, 20.2, 20.9, 19.8])


def test_the_gaps_of_a_burst_are_left_to_that_rule() -> None:
    assert not even_in([2.0] * 20)


def test_equal_gaps_in_a_job_are_asked_about_with_their_events() -> None:
    [found] = found_with([20.0 + n % 2 for n in range(12)])
    assert len(found.events) >= GAPS + 1
    assert found.sentence.endswith("one after the other?")
    assert "20 s to 21 s" in found.sentence


def test_work_that_takes_its_time_is_not() -> None:
    assert found_with([20.0 + 7 * (n % 3) for n in range(12)]) == []


def test_a_row_that_is_one_gap_too_short_is_not() -> None:
    assert found_with([*[20.0] * GAPS, 300.0]) == []
