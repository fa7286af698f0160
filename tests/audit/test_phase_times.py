"""Phase times: what is kept of many jobs, the chart of their logarithms, and how it is drawn.

Limits and rules are checked against published examples in `tests/spread/test_control_chart.py`.
Here the limits are worked once more by the handbook's other form, centre ± 2.66 × the mean moving
range (NIST/SEMATECH e-Handbook, 6.3.2.2, which gives 3 ÷ 1.128), and led back by `exp`.
"""

from itertools import pairwise
from math import exp, log
from random import Random
from statistics import fmean, median, quantiles

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.audit.phases import times as module
from baycompanion.audit.phases.chart import PlotSize, told_lines
from baycompanion.audit.phases.text_plot import LABEL, WIDTH, Across, plot
from baycompanion.audit.phases.times import Chart, PhaseTold, phase_times
from baycompanion.job.record.past_job import PastJob
from baycompanion.job.record.work import PhaseRecord, ProcedureNamed
from baycompanion.spread.silence import Silence


def job(number: int, seconds: int, target: int | None = 600, **other: object) -> PastJob:
    """Return a closed job with one phase; the later its number, the later it ended."""
    phase = PhaseRecord(
        phase="fit",
        title="Fit it",
        target_seconds=target,
        worked_seconds=seconds,
        paused_seconds=0,
        elapsed_seconds=seconds,
        begun_at="2026-03-02T08:00:00.000Z",
        last_at=None,
    )
    past = PastJob(
        record=1,
        status="closed",
        job=f"job-{number}",
        procedure=ProcedureNamed(id="lamp", title="Lamp", revision=2, sha256="ab"),
        people={"T1": 3},
        ended_at=f"2026-03-02T08:00:00.{number:06}Z",
        phases=[phase],
    )
    return past.model_copy(update=other)


def told_of(seconds: list[int], **other: int) -> PhaseTold:
    [told] = phase_times(("shop", job(n, each, **other)) for n, each in enumerate(seconds))
    return told


def steady(count: int, seed: int = 3) -> list[int]:
    chance = Random(seed)
    return [round(600 * chance.lognormvariate(0, 0.2)) for _ in range(count)]


def test_the_figures_are_those_of_all_jobs() -> None:
    seconds = steady(19)
    told = told_of(seconds)
    assert (told.jobs, told.worked, told.target) == (19, seconds, 600)
    assert told.over == sum(each > 600 for each in seconds)
    assert told.quartiles == pytest.approx(quantiles(seconds, method="inclusive"))
    assert told.quartiles[1] == median(seconds)


def test_the_limits_are_worked_on_logarithms() -> None:
    seconds = steady(24)
    told = told_of(seconds)
    assert isinstance(told.chart, Chart)
    scaled = [log(each) for each in seconds]
    reach = 2.66 * fmean(abs(b - a) for a, b in pairwise(scaled))
    as_dict = told.as_dict()["chart"]
    assert as_dict["centre_seconds"] == pytest.approx(exp(fmean(scaled)), abs=0.06)
    assert as_dict["upper_seconds"] == pytest.approx(exp(fmean(scaled) + reach), rel=1e-3)
    assert as_dict["lower_seconds"] == pytest.approx(exp(fmean(scaled) - reach), rel=1e-3)


def test_below_twenty_jobs_there_is_no_chart_and_the_reason_is_told() -> None:
    told = told_of(steady(19))
    assert told.chart == Silence("too few", 19, 20)
    assert told.as_dict()["chart"] is None
    assert told.as_dict()["no_chart_because"] == "too few"
    assert list(told_lines(told))[-1] == (
        "  No chart: 19 of the 20 jobs that limits are drawn from."
    )


def test_times_all_alike_have_no_chart() -> None:
    assert "all took the same time" in list(told_lines(told_of([600] * 30)))[-1]


def test_jobs_in_any_order_are_charted_in_the_order_in_which_they_ended() -> None:
    seconds = steady(30)
    mixed = list(enumerate(seconds))
    Random(1).shuffle(mixed)
    [told] = phase_times(("shop", job(n, each)) for n, each in mixed)
    assert told == told_of(seconds)


def test_only_the_newest_times_are_kept_and_all_jobs_are_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "MOST_KEPT", 25)
    seconds = steady(90)
    mixed = list(enumerate(seconds))
    Random(1).shuffle(mixed)
    [told] = phase_times(("shop", job(n, each)) for n, each in mixed)
    assert told.worked == seconds[-25:]
    assert told.jobs == 90
    assert told.over == sum(each > 600 for each in seconds)
    assert list(told_lines(told))[1].startswith("  90 jobs · ")
    assert list(told_lines(told))[3] == "  All but the target is said of the newest 25."


def test_shops_procedures_revisions_and_phases_are_kept_apart() -> None:
    newer = ProcedureNamed(id="lamp", title="Lamp", revision=3, sha256="ab")
    other = ProcedureNamed(id="horn", title="Horn", revision=1, sha256="ab")
    [phase] = job(0, 60).phases
    two = [phase.model_copy(update={"phase": "z-first"}), phase]
    jobs = [
        ("b", job(0, 60)),
        ("a", job(1, 60)),
        ("a", job(2, 60, procedure=newer)),
        ("a", job(3, 60, procedure=other)),
        ("a", job(4, 60, phases=two)),
    ]
    told = [(each.shop, each.procedure, each.revision, each.phase) for each in phase_times(jobs)]
    assert told == [
        ("a", "horn", 1, "fit"),
        ("a", "lamp", 3, "fit"),
        ("a", "lamp", 2, "fit"),
        ("a", "lamp", 2, "z-first"),
        ("b", "lamp", 2, "fit"),
    ]


def test_a_phase_that_was_never_begun_is_not_counted_and_one_of_no_time_is() -> None:
    [phase] = job(0, 0).phases
    never = job(1, 0, phases=[phase.model_copy(update={"begun_at": None})])
    [told] = phase_times([("shop", never), ("shop", job(0, 0))])
    assert (told.jobs, told.worked) == (1, [1])


def test_a_job_without_a_target_is_over_none() -> None:
    told = told_of([900] * 3, target=None)
    assert (told.target, told.over) == (None, 0)
    assert not any("arget" in line for line in told_lines(told))


def test_signals_are_named_by_rule_and_job_and_marked_in_the_plot() -> None:
    seconds = [600, 630] * 15 + [3000]
    lines = list(told_lines(told_of(seconds)))
    assert sum(line.endswith("X") for line in lines) == 2
    heading = next(n for n, line in enumerate(lines) if line.startswith("  Signals (X)"))
    assert [line.strip() for line in lines[heading + 1 :]] == [
        "job-30: 50 min, range beyond its limit, after 10 min in job-29",
        "job-30: 50 min, beyond a limit",
        "job-7: 10 min, eight on one side, shorter than the centre since job-0",
    ]


def test_eight_on_one_side_says_since_when_and_on_which() -> None:
    seconds = [600, 700] * 10 + [500, 510] * 5
    told = " ".join(" ".join(told_lines(told_of(seconds))).split())
    assert "eight on one side, shorter than the centre since job-20" in told


def test_a_chart_without_signals_says_so() -> None:
    assert list(told_lines(told_of([600, 660] * 12)))[-1] == "  No signals."


def test_only_what_has_room_is_drawn_and_all_lines_fit_eighty_columns() -> None:
    lines = list(told_lines(told_of(steady(300))))
    assert any(f"the newest {WIDTH}" in line for line in lines)
    assert max(map(len, lines)) <= 78
    drawn = [line[LABEL + 2 :] for line in lines if line[LABEL : LABEL + 2] == " |"]
    assert len(drawn) == 17
    assert sum(row.count("o") + row.count("X") for row in drawn) == 2 * WIDTH


LEVELS = st.floats(min_value=-1e6, max_value=1e6, allow_nan=False)


@given(
    st.lists(st.none() | LEVELS, min_size=1, max_size=WIDTH),
    st.lists(LEVELS, min_size=1, max_size=3),
    st.integers(min_value=2, max_value=20),
)
def test_every_point_stands_once_in_its_column_higher_ones_above(
    points: list[float | None], across: list[float], height: int
) -> None:
    lines = plot(points, [Across(at, "line", "-") for at in across], (), height)
    assert len(lines) == height
    rows = [line[LABEL + 2 :].ljust(len(points)) for line in lines]
    at = [[n for n, row in enumerate(rows) if row[c] == "o"] for c in range(len(points))]
    assert [len(each) for each in at] == [int(point is not None) for point in points]
    drawn = sorted((point, rows[0]) for point, rows in zip(points, at, strict=True) if rows)  # type: ignore[type-var]
    assert [row for _, row in drawn] == sorted((row for _, row in drawn), reverse=True)


def test_the_lines_across_are_named_and_marked_points_are_another_letter() -> None:
    lines = plot([0, 5, 10, None], [Across(0, "low", "-"), Across(10, "high", ".")], {2}, 3)
    assert lines == [
        f"{'high':>{LABEL}} |..X.",
        f"{'':>{LABEL}} | o",
        f"{'low':>{LABEL}} |o---",
    ]


def test_lines_that_fall_on_one_row_leave_the_points_in_their_columns() -> None:
    """One job in a thousand times the usual time squeezes all limits into one row."""
    seconds = [*steady(200), 10**9]
    rows = [line for line in told_lines(told_of(seconds)) if " |" in line]
    assert any("upper/" in row or "/upper" in row for row in rows)
    assert {row.index("|") for row in rows} == {LABEL + 1}


def test_the_lines_keep_to_the_size_that_they_are_given() -> None:
    for size in (PlotSize(39, 6, 3), PlotSize(55, 6, 3), PlotSize(96, 20, 10)):
        lines = list(told_lines(told_of(steady(120)), size))
        assert max(map(len, lines)) <= size.width
        assert len([line for line in lines if " |" in line]) == size.high + size.low
