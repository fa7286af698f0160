"""Readings that repeat or crowd a limit: told with their test, corrected for how many there are."""

from random import Random

import pytest
from asked import asked, only, parts, played, retold
from bay import GOOD, T1, T2, Bay

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.figures import Figure, Figures
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.readings import LIMITED, READ, keep_readings, near_limit, repeated
from baycompanion.audit.rules.tested import FALSE_ALARM, OneTest, told
from baycompanion.job.actions import Accept, Answer
from baycompanion.job.deciding.draft import Person
from baycompanion.spread.many_tests import holm


def measured(number: int, reading: str, who: Person = T1) -> Played:
    """Return a job in which `who` read the voltage at rest."""
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    while bay.state.current != "rest-voltage":
        bay.good(bay.state.current or "")
    bay.do(Answer(answer="rest-voltage", value=reading))
    told = [(data, who.id, when) for data, _, when in parts(bay)]
    return retold(told, name=f"job-{number:03}")


def spread_out(jobs: int, seed: int) -> list[str]:
    """Return readings of a battery at rest, the same every time."""
    random = Random(seed)
    return [f"{random.gauss(12.7, 0.08):.2f}" for _ in range(jobs)]


@pytest.fixture(scope="module")
def honest() -> list[Played]:
    return [measured(number, each, T2) for number, each in enumerate(spread_out(40, 5), 1)]


def test_a_reading_that_one_person_repeats_unlike_the_others_is_asked_about(
    honest: list[Played],
) -> None:
    own = [measured(100 + number, "12.65") for number in range(15)]
    [found] = only("readings-repeat", asked([*honest, *own]))
    assert found.rule.people
    assert (found.job, len(found.events)) == ("job-114", 1)
    assert "15 of the 15 first readings by T1 are 12.65 V to the last digit" in found.sentence
    assert "Fisher's exact test against the others: by chance alone" in found.sentence
    assert "(Holm)" in found.sentence


def test_readings_that_spread_are_not(honest: list[Played]) -> None:
    own = [measured(100 + number, each) for number, each in enumerate(spread_out(15, 6))]
    found = asked([*honest, *own])
    assert only("readings-repeat", found) == only("readings-just-inside-limit", found) == []


def test_only_the_first_reading_of_a_job_counts() -> None:
    bay = Bay().walk("rest-voltage")
    bay.do(Answer(answer="rest-voltage", value="11.9"))
    bay.do(*GOOD["rest-voltage"])
    figures = Figures()
    keep_readings(played(bay), figures)
    [(_, [figure])] = figures.groups(READ)
    assert figure.value == "11.9"
    assert [alike[3:] for alike, _ in figures.groups(LIMITED)] == LIMITS


LIMITS = [("at least", "12.4"), ("at most", "12.90")]


def at_limit(readings: list[str]) -> list[OneTest]:
    figures = Figures()
    for number, reading in enumerate(readings):
        alike = ("small-receiver", "rest-voltage", "V", "at least", "12.4")
        figures.add(LIMITED, alike, Figure(f"job-{number}", "T1", (9,), reading))
    return list(near_limit(figures))


def test_readings_just_inside_a_limit_are_asked_about_with_the_bands_on_both_sides() -> None:
    [tested] = at_limit(["12.40", "12.41", "12.42"] * 6 + ["12.44", "12.39"])
    assert tested.chance < 0.001
    assert "18 of 20 first readings lie within 0.03 V inside the limit of at least 12.4 V" in (
        tested.finding.sentence
    )
    assert "1 in the next 0.03 and 1 as near outside" in tested.finding.sentence


def test_readings_on_both_sides_of_a_limit_are_not() -> None:
    [tested] = at_limit(["12.38", "12.41", "12.44"] * 6)
    assert tested.chance > FALSE_ALARM


def test_few_readings_at_a_limit_say_nothing() -> None:
    assert at_limit(["12.40"] * 9) == []


def test_what_would_be_told_alone_may_not_stand_among_many_tests() -> None:
    finding = Finding(Rule("r", "minor"), "Why?")
    one = OneTest(0.01, "A test", finding)
    assert [each.sentence for each in told([one], 0)] == [
        "Why? A test: by chance alone in at most 1 in 100 of such audits, corrected for the 1 test "
        "made (Holm); told up to 1 in 20."
    ]
    assert holm([0.01] + [1.0] * 9)[0] == pytest.approx(0.1)
    assert list(told([one], 9)) == []


def test_honest_shops_are_seldom_asked_anything_by_tests() -> None:
    """The stated rate is 1 in 20 at most; 60 made-up shops with three people each."""
    alarms = 0
    for seed in range(60):
        figures, random = Figures(), Random(seed)
        for number in range(60):
            reading = f"{random.gauss(12.7, 0.15):.2f}"
            figure = Figure(f"job-{number}", f"T{number % 3}", (9,), reading)
            figures.add(READ, ("p", "rest", "V"), figure)
            figures.add(LIMITED, ("p", "rest", "V", "at least", "12.4"), figure)
        tests = [*repeated(figures), *near_limit(figures)]
        alarms += any(told(tests, 0))
    assert alarms <= 6
