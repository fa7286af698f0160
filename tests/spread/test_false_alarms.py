"""The false-alarm rates that the package states, on honest figures made with a fixed seed.

A rate found in so many tries is held to within four standard errors, so that these tests say
whether a stated rate is right, and not how chance fell.
"""

from collections.abc import Iterable
from decimal import Decimal
from math import exp, sqrt
from random import Random

import pytest

from baycompanion.spread import control, outliers
from baycompanion.spread.binomial import exactly
from baycompanion.spread.control import Limits, limits, signals
from baycompanion.spread.many_tests import benjamini_hochberg, holm
from baycompanion.spread.near_limit import Crowding, crowding
from baycompanion.spread.outliers import Spread, outlying_times, score, spread
from baycompanion.spread.ready_by import PastJob, Remaining, remaining
from baycompanion.spread.repeats import Repeat, beyond_chance, unlike_others
from baycompanion.spread.rising import Rising, rising
from baycompanion.spread.shares import wilson

RATE = 0.05


def share_of(cases: Iterable[bool]) -> tuple[float, float]:
    """Return the share of cases that hold, and four standard errors of it."""
    held = list(cases)
    share = sum(held) / len(held)
    return share, 4 * sqrt(max(share * (1 - share), 1 / len(held)) / len(held))


def normal(chance: Random, count: int) -> list[float]:
    return [chance.gauss(0, 1) for _ in range(count)]


@pytest.mark.parametrize(("behind", "stated"), [(outliers.FEWEST, 0.011), (10, 0.034)])
def test_a_further_time_is_an_outlier_as_often_as_stated(behind: int, stated: float) -> None:
    chance = Random(5)

    def alarm() -> bool:
        around = spread(normal(chance, behind), fewest=behind)
        assert isinstance(around, Spread)
        return abs(score(chance.gauss(0, 1), around)) > outliers.CUT_OFF

    rate, error = share_of(alarm() for _ in range(20_000))
    assert rate == pytest.approx(stated, abs=error)


def test_one_list_of_twenty_in_ten_names_a_time_though_nothing_is_wrong() -> None:
    chance = Random(5)
    lists = ([exp(value) for value in normal(chance, outliers.FEWEST)] for _ in range(5000))
    rate, error = share_of(bool(outlying_times(times)) for times in lists)
    assert rate == pytest.approx(0.1, abs=error)


@pytest.mark.parametrize(("behind", "stated"), [(control.FEWEST, 0.011), (10, 0.024)])
def test_a_further_value_lies_beyond_the_limits_as_often_as_stated(
    behind: int, stated: float
) -> None:
    chance = Random(5)

    def alarm() -> bool:
        drawn = limits(normal(chance, behind), fewest=behind)
        assert isinstance(drawn, Limits)
        return any(s.rule == "beyond a limit" for s in signals([chance.gauss(0, 1)], drawn))

    rate, error = share_of(alarm() for _ in range(20_000))
    assert rate == pytest.approx(stated, abs=error)


def test_the_first_signal_against_known_limits_comes_after_153_values_on_average() -> None:
    """The run length that test_control_chart holds against the published one."""
    chance = Random(5)
    known = Limits(centre=0, lower=-3, upper=3, mean_range=1.128, range_limit=99, values=10**6)
    firsts = [signals(normal(chance, 2500), known)[0].index + 1 for _ in range(600)]
    error = 4 * 153 / sqrt(len(firsts))
    assert sum(firsts) / len(firsts) == pytest.approx(153, abs=error)


def test_holm_gives_any_false_alarm_at_all_in_1_of_20_families_of_tests() -> None:
    """Of 20 independent tests, 1 − (1 − 0.05 ÷ 20)²⁰ = 0.0488."""
    chance = Random(5)
    families = ([chance.random() for _ in range(20)] for _ in range(10_000))
    rate, error = share_of(min(holm(p)) <= RATE for p in families)
    assert rate == pytest.approx(0.0488, abs=error)


def test_of_what_the_false_discovery_correction_reports_few_are_false() -> None:
    """Source: Benjamini and Hochberg (1995): 0.05 × the share of honest tests, here 15 of 20."""
    chance = Random(5)

    def false_share() -> float:
        found = [chance.random() * 1e-4 for _ in range(5)]
        reported = benjamini_hochberg(found + [chance.random() for _ in range(15)])
        false = sum(p <= RATE for p in reported[5:])
        return false / max(1, sum(p <= RATE for p in reported))

    shares = [false_share() for _ in range(10_000)]
    assert sum(shares) / len(shares) == pytest.approx(0.05 * 15 / 20, abs=0.004)


def honest_reading(chance: Random) -> str:
    """Return a resting battery's voltage to a tenth of a volt: half of them are the same."""
    return f"{chance.gauss(12.6, 0.07):.1f}"


@pytest.mark.parametrize(("own", "others"), [(10, 30), (25, 25), (40, 400)])
def test_honest_repeats_are_named_against_others_at_most_as_often_as_reported(
    own: int, others: int
) -> None:
    chance = Random(5)

    def alarm() -> bool:
        readings = [honest_reading(chance) for _ in range(own + others)]
        found = unlike_others(readings[:own], readings[own:])
        assert isinstance(found, Repeat)
        return found.chance <= RATE

    rate, error = share_of(alarm() for _ in range(2000))
    assert 0 < rate <= RATE + error


@pytest.mark.parametrize("readings", [10, 30, 100])
def test_honest_repeats_are_named_by_the_natural_share_at_most_as_often_as_reported(
    readings: int,
) -> None:
    """Four values, equally frequent: the worst case for a natural share of a quarter."""
    chance = Random(5)

    def alarm() -> bool:
        found = beyond_chance([chance.choice("1234") for _ in range(readings)], 0.25)
        assert isinstance(found, Repeat)
        return found.chance <= RATE

    rate, error = share_of(alarm() for _ in range(2000))
    assert rate <= RATE + error


def torque(chance: Random, usual: float) -> Decimal:
    return Decimal(f"{chance.gauss(usual, 0.4):.1f}")


@pytest.mark.parametrize("usual", [3.2, 3.6, 4.4, 5.0])
def test_honest_readings_crowd_a_limit_at_most_as_often_as_reported(usual: float) -> None:
    """The limit lies on the slope of the readings: they grow rarer or more frequent across it."""
    chance = Random(5)

    def alarm() -> bool:
        readings = [torque(chance, usual) for _ in range(60)]
        found = crowding(readings, Decimal(4), "at most", Decimal("0.2"))
        return isinstance(found, Crowding) and found.chance <= RATE

    rate, error = share_of(alarm() for _ in range(1500))
    assert rate <= RATE + error


def test_readings_pushed_back_inside_the_limit_are_mostly_found() -> None:
    """Whoever writes the limit down for each reading past it, in 120 jobs: 9 of 10 are found."""
    chance = Random(5)

    def alarm() -> bool:
        readings = [min(torque(chance, 3.8), Decimal(4)) for _ in range(120)]
        found = crowding(readings, Decimal(4), "at most", Decimal("0.2"))
        return isinstance(found, Crowding) and found.chance <= RATE

    rate, _ = share_of(alarm() for _ in range(500))
    assert rate > 0.9


def test_a_95_percent_interval_holds_the_true_share_in_95_of_100_cases_on_average() -> None:
    """Counted out, not drawn: the mean over shares from 1 to 99 % with 50 jobs.

    Newcombe (1998) found 0.952 on average over many numbers; from memory.
    """
    intervals = [wilson(count, 50) for count in range(51)]
    held = [
        sum(exactly(s.count, 50, true) for s in intervals if s.lower <= true <= s.upper)
        for true in (percent / 100 for percent in range(1, 100))
    ]
    assert sum(held) / len(held) == pytest.approx(0.952, abs=0.004)


def past_job(chance: Random, alike: float) -> PastJob:
    """Return a job whose phases are each of their own length, and slow together so far `alike`."""
    whole, own = chance.gauss(0, 1), normal(chance, 2)
    first, second = (alike * whole + sqrt(1 - alike**2) * part for part in own)
    return PastJob(30 * exp(0.4 * first), 90 * exp(0.3 * second))


@pytest.mark.parametrize("alike", [0, 0.9])
@pytest.mark.parametrize(("past", "spent"), [(20, 0), (40, 25), (60, 40)])
def test_jobs_are_ready_in_time_as_often_as_promised(alike: float, past: int, spent: float) -> None:
    """Both for jobs slow in one phase alone and for jobs slow throughout."""
    chance = Random(5)
    within_likely, within_safe = [], []
    for _ in range(4000):
        found = remaining([past_job(chance, alike) for _ in range(past)], spent)
        running = past_job(chance, alike)
        if running.phase < spent or not isinstance(found, Remaining) or found.safe is None:
            continue
        rest = running.phase - spent + running.later
        within_likely.append(rest <= found.likely)
        within_safe.append(rest <= found.safe)
    (likely, likely_error), (safe, safe_error) = share_of(within_likely), share_of(within_safe)
    assert 0.5 - likely_error <= likely <= 0.55 + likely_error
    assert 0.9 - safe_error <= safe <= 0.95 + safe_error


@pytest.mark.parametrize(("cases", "share"), [(20, 0.1), (40, 0.2), (100, 0.05), (60, 0.5)])
def test_what_happens_no_more_often_than_before_looks_like_a_rise_in_a_twentieth_at_most(
    cases: int, share: float
) -> None:
    chance = Random(5)

    def alarm() -> bool:
        found = rising([chance.random() < share for _ in range(cases)])
        return isinstance(found, Rising) and found.chance <= RATE

    rate, error = share_of(alarm() for _ in range(500 if cases > 40 else 2000))
    assert rate <= RATE + error
