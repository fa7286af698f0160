"""How a trainee stands: practice and jobs counted, times where others have enough."""

import statistics
from collections.abc import Sequence

import pytest

from baycompanion.job.record.past_job import PastJob
from baycompanion.learning.practice.summary import PlantedOutcome, PracticeSummary
from baycompanion.learning.standing_of import (
    FEWEST_OTHERS,
    practice_standing,
    supervised_standing,
    times_of,
)
from baycompanion.learning.watched import Worked
from baycompanion.store.staff.releases import why_not_watched


def outcome(name: str, caught: bool) -> PlantedOutcome:
    return PlantedOutcome(
        fault=name,
        name=name,
        caught_at="step" if caught else None,
        would_have_caught=("step",),
        cause="vehicle",
        put_down_as=None,
        slipped="" if caught else "not looked at",
    )


def practice(
    *planted: PlantedOutcome, ended: bool = True, procedure: str = "lamp"
) -> PracticeSummary:
    return PracticeSummary(
        practice=True,
        id="p",
        who="N1",
        procedure=procedure,
        title="t",
        revision=1,
        seed=1,
        begun_at="2026-03-02T08:00:00.000Z",
        ended_at="2026-03-02T09:00:00.000Z" if ended else None,
        planted=planted,
        ran_into=(),
        next_right=0,
        next_asked=0,
        not_looked=(),
    )


def test_only_practice_that_was_walked_to_its_end_says_what_was_caught() -> None:
    """Counted by hand: three ended ones carry five faults, of which one slipped twice."""
    seen = practice_standing(
        [
            practice(outcome("drain", False), outcome("dead speaker", True)),
            practice(outcome("drain", False), outcome("screw", True)),
            practice(outcome("pair", True)),
            practice(outcome("cable", False), ended=False),
            practice(outcome("cable", False), procedure="radio"),
        ],
        "lamp",
    )
    assert (seen.jobs, seen.ended, seen.planted, seen.caught) == (4, 3, 5, 3)
    assert seen.slipped == ("drain",)


def work(name: str = "j", /, **changes: object) -> Worked:
    given = {
        "who": "N1",
        "job": name,
        "procedure": "lamp",
        "revision": 2,
        "moved": False,
        "closed": True,
        "answers": 10,
        "own": 10,
        "mentors": ("T1",),
        "witnesses": (),
        "faults": 0,
        "overridden": (),
    }
    return Worked(**{**given, **changes})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("own", "mentors", "witnesses", "supervised"),
    [
        (10, ("T1",), (), True),
        (10, (), ("T2",), True),
        (10, (), (), False),
        (6, ("T1",), (), True),
        (5, ("T1",), (), False),
        (0, ("T1",), (), False),
    ],
)
def test_a_watched_job_is_mostly_theirs_and_somebody_stands_in_it(
    own: int, mentors: tuple[str, ...], witnesses: tuple[str, ...], supervised: bool
) -> None:
    seen = work(own=own, mentors=mentors, witnesses=witnesses)
    assert seen.supervised is supervised
    assert seen.stood_as("T1") == ("mentor" if mentors else None)
    assert seen.stood_as("T2") == ("second person" if witnesses else None)


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({}, ""),
        ({"moved": True}, "j began by an older revision of lamp than it ended by."),
        ({"revision": 3}, "j followed revision 3 of lamp, and the shelf holds revision 2."),
        ({"own": 5}, "N1 gave 5 of 10 answers in j."),
        ({"mentors": ()}, "Nobody stands in j as mentor of N1 or as second person"),
        ({"closed": False}, "j was not closed."),
        ({"procedure": "radio"}, "j follows radio, and not lamp."),
    ],
)
def test_a_job_that_bears_no_release_says_why(changes: dict[str, object], why: str) -> None:
    told = why_not_watched(work(**changes), "N1", "lamp", 2)
    assert told.startswith(why) and bool(told) == bool(why)


def test_jobs_are_counted_by_revision_and_those_alone_apart() -> None:
    seen = supervised_standing(
        [
            work("e", faults=1, overridden=("proved",)),
            work("d", revision=1, faults=2, overridden=("proved", "bench")),
            work("c", mentors=()),
            work("b", closed=False),
            work("a", own=2),
            work("z", procedure="radio"),
        ],
        "lamp",
    )
    assert seen.jobs == ("e", "d")
    assert list(seen.by_revision.items()) == [(2, 1), (1, 1)]
    assert (seen.alone, seen.faults) == (1, 3)
    assert seen.overridden == ("proved", "proved", "bench")


def past(
    job: str, who: str, seconds: Sequence[int], revision: int = 2, status: str = "closed"
) -> PastJob:
    phases = [
        {
            "phase": f"phase-{number}",
            "title": "t",
            "target_seconds": None,
            "worked_seconds": each,
            "paused_seconds": 0,
            "elapsed_seconds": each,
            "begun_at": None,
            "last_at": None,
        }
        for number, each in enumerate(seconds)
    ]
    return PastJob.model_validate(
        {
            "record": 1,
            "status": status,
            "job": job,
            "procedure": {"id": "lamp", "title": "t", "revision": revision, "sha256": "ab"},
            "people": {who: 5},
            "ended_at": "2026-03-02T09:00:00.000Z",
            "phases": phases,
        }
    )


def others(number: int, phases: int = 1) -> list[PastJob]:
    """Return so many jobs of T1; each took a minute longer than the one before."""
    return [past(f"o{n}", "T1", [60 * (10 + n)] * phases) for n in range(number)]


WATCHED = supervised_standing([work("own-2"), work("own-1")], "lamp")
OWN = [past("own-1", "N1", [900]), past("own-2", "N1", [1200])]


def test_times_stand_against_the_quartiles_of_others_by_an_independent_library() -> None:
    """The quartiles are those of the standard library's `quantiles`, inclusive method."""
    times = times_of("N1", "lamp", WATCHED, [*OWN, *others(12)])
    assert times is not None and times.silence is None
    assert (times.revision, times.own, times.others) == (2, 2, 12)
    [phase] = times.phases
    expected = statistics.quantiles([60 * (10 + n) for n in range(12)], n=4, method="inclusive")
    assert [phase.lower, phase.middle, phase.upper] == pytest.approx(expected)
    assert phase.own == 1050


@pytest.mark.parametrize("number", [0, FEWEST_OTHERS - 1, FEWEST_OTHERS])
def test_with_too_few_jobs_of_others_nothing_is_compared(number: int) -> None:
    times = times_of("N1", "lamp", WATCHED, [*OWN, *others(number)])
    assert times is not None
    assert bool(times.phases) == (number == FEWEST_OTHERS)
    assert (times.silence is None) == (number == FEWEST_OTHERS)


def test_other_revisions_open_jobs_and_jobs_with_a_hand_of_theirs_count_for_no_spread() -> None:
    odd = [
        *(past(f"r{n}", "T1", [1], revision=1) for n in range(20)),
        *(past(f"u{n}", "T1", [1], status="abandoned") for n in range(20)),
        *(past(f"h{n}", "N1", [1]) for n in range(20)),
        *(past(f"m{n}", "T1", [-1]) for n in range(20)),
    ]
    times = times_of("N1", "lamp", WATCHED, [*OWN, *others(3), *odd])
    assert times is not None
    assert (times.own, times.others, times.phases) == (2, 3, ())


def test_a_phase_that_few_others_came_to_is_left_out() -> None:
    own = [past("own-1", "N1", [900, 60])]
    times = times_of("N1", "lamp", WATCHED, [*own, *others(9), *others(3, phases=2)])
    assert times is not None
    assert [each.phase for each in times.phases] == ["phase-0"]


def test_whoever_was_watched_in_no_job_has_no_times() -> None:
    assert times_of("N1", "lamp", supervised_standing([], "lamp"), others(20)) is None
