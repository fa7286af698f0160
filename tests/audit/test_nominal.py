"""Readings exactly in the middle of their limits: one person against the others."""

from random import Random

import pytest
from asked import asked, only
from scipy.stats import hypergeom
from test_readings import measured, spread_out

from baycompanion.audit.rules.figures import Figure, Figures
from baycompanion.audit.rules.nominal import READ, all_nominal
from baycompanion.audit.rules.tested import FALSE_ALARM, told
from baycompanion.job.deciding.draft import Person
from baycompanion.spread.dealing import Dealt, at_least_dealt, at_least_in_all

MIDDLE = "12.65"
"""Of 12.4 and 12.90, the limits of the voltage at rest."""
T2 = Person("T2", "technician")


def test_one_dealing_is_the_test_for_one() -> None:
    for count in range(8):
        one = at_least_in_all(count, [Dealt(10, 7, 40)])
        assert one == pytest.approx(at_least_dealt(count, 10, 7, 40))
        assert one == pytest.approx(hypergeom.sf(count - 1, 40, 7, 10))


def test_two_dealings_add_up_as_the_reference_library_says() -> None:
    first, second = hypergeom(30, 9, 12), hypergeom(25, 5, 10)
    expected = sum(first.pmf(a) * second.pmf(b) for a in range(13) for b in range(11) if a + b >= 8)
    found = at_least_in_all(8, [Dealt(12, 9, 30), Dealt(10, 5, 25)])
    assert found == pytest.approx(expected)


def test_readings_that_are_all_nominal_are_asked_about() -> None:
    others = [measured(n, each, T2) for n, each in enumerate(spread_out(40, 5), 1)]
    own = [measured(100 + n, MIDDLE) for n in range(15)]
    [found] = only("readings-all-nominal", asked([*others, *own]))
    assert found.rule.people
    assert (found.job, len(found.events)) == ("job-114", 1)
    assert "15 of the 15 first readings by T1 lie exactly in the middle" in found.sentence
    assert "(Holm)" in found.sentence


def test_a_value_that_comes_out_for_everybody_is_no_sign() -> None:
    coarse = [measured(n, MIDDLE, T2) for n in range(1, 30)]
    own = [measured(100 + n, MIDDLE) for n in range(15)]
    assert only("readings-all-nominal", asked([*coarse, *own])) == []


def test_readings_of_one_person_alone_say_nothing() -> None:
    own = [measured(n, MIDDLE) for n in range(1, 30)]
    assert only("readings-all-nominal", asked(own)) == []


def test_another_reading_now_and_then_hides_nothing_and_many_say_it_is_honest() -> None:
    others = [measured(n, each, T2) for n, each in enumerate(spread_out(40, 5), 1)]
    own = [measured(100 + n, MIDDLE) for n in range(18)]
    honest = [measured(200 + n, "12.71") for n in range(2)]
    assert only("readings-all-nominal", asked([*others, *own, *honest]))
    more = [measured(300 + n, "12.71") for n in range(2)]
    assert not only("readings-all-nominal", asked([*others, *own, *honest, *more]))


@pytest.mark.parametrize("share", [0.02, 0.3, 0.85, 0.95])
def test_honest_shops_are_seldom_asked(share: float) -> None:
    """The stated rate is 1 in 20 at most, however often a reading falls in the middle."""
    alarms = 0
    for seed in range(200):
        figures, random = Figures(), Random(seed)
        for number in range(60):
            for step in ("rest", "running"):
                value = float(random.random() < share)
                figure = Figure(f"job-{number:03}", f"T{number % 3}", (9,), value)
                figures.add(READ, ("p", step), figure)
        alarms += any(told([*all_nominal(figures)], 0))
    assert alarms <= 200 * FALSE_ALARM + 4 * (200 * 0.05 * 0.95) ** 0.5
