"""The times of each phase over many jobs: median, spread, target, and a chart with its signals."""

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from math import exp
from typing import Any

from baycompanion.job.record.past_job import PastJob
from baycompanion.job.record.work import PhaseRecord
from baycompanion.spread.control import Limits, Signal, limits, moving_ranges, signals
from baycompanion.spread.logs import logs
from baycompanion.spread.quantiles import quantile
from baycompanion.spread.silence import Silence

MOST_KEPT = 500
"""Times of one phase that are kept, those of the jobs that ended last."""

Key = tuple[str, str, int, str]
"""Shop folder, procedure, revision, phase."""


@dataclass(frozen=True, slots=True, order=True)
class JobTime:
    """How long one job took in a phase, in seconds worked, 1 or more."""

    ended_at: str
    job: str
    worked: int


@dataclass(frozen=True, slots=True)
class Chart:
    """An individuals chart of the logarithms of the times, with its moving ranges."""

    limits: Limits
    signals: tuple[Signal, ...]

    def as_dict(self, times: tuple[JobTime, ...]) -> dict[str, Any]:
        """Return it as programs read it; a range is how many times as long, or as short."""
        drawn = self.limits
        return {
            "centre_seconds": round(exp(drawn.centre), 1),
            "lower_seconds": round(exp(drawn.lower), 1),
            "upper_seconds": round(exp(drawn.upper), 1),
            "mean_range_times": round(exp(drawn.mean_range), 4),
            "range_limit_times": round(exp(drawn.range_limit), 4),
            "signals": [
                {
                    "rule": signal.rule,
                    "job": times[signal.index].job,
                    "since_job": times[signal.first].job,
                }
                for signal in self.signals
            ],
        }


@dataclass(frozen=True, slots=True)
class PhaseTold:
    """What the times of one phase of one revision say."""

    shop: str
    procedure: str
    revision: int
    phase: str
    title: str
    target: int | None
    """That of the job that ended last, in seconds."""
    jobs: int
    """All that went through the phase."""
    over: int
    """Those of all that took longer than their target."""
    times: tuple[JobTime, ...]
    """Of the jobs that ended last, the oldest first."""
    chart: Chart | Silence

    @property
    def worked(self) -> list[int]:
        """The seconds worked, the oldest first."""
        return [time.worked for time in self.times]

    @property
    def quartiles(self) -> tuple[float, float, float]:
        """The seconds that a quarter, half and three quarters of the jobs stayed within."""
        worked = self.worked
        return quantile(worked, 0.25), quantile(worked, 0.5), quantile(worked, 0.75)

    def as_dict(self) -> dict[str, Any]:
        """Return it as programs read it."""
        first, middle, third = self.quartiles
        silent = self.chart if isinstance(self.chart, Silence) else None
        return {
            "shop": self.shop,
            "procedure": self.procedure,
            "revision": self.revision,
            "phase": self.phase,
            "title": self.title,
            "jobs": self.jobs,
            "jobs_kept": len(self.times),
            "median_seconds": middle,
            "first_quartile_seconds": first,
            "third_quartile_seconds": third,
            "target_seconds": self.target,
            "jobs_over_target": self.over,
            "times": [
                {"job": time.job, "ended_at": time.ended_at, "worked_seconds": time.worked}
                for time in self.times
            ],
            "chart": None if isinstance(self.chart, Silence) else self.chart.as_dict(self.times),
            "no_chart_because": silent.reason if silent else None,
        }


@dataclass(slots=True)
class _Kept:
    """What is kept of one phase while the jobs go by; its size does not grow with them."""

    place: int
    newest: str = ""
    title: str = ""
    target: int | None = None
    jobs: int = 0
    over: int = 0
    times: list[JobTime] = field(default_factory=list)
    """A heap with the oldest on top."""

    def take(self, past: PastJob, phase: PhaseRecord) -> None:
        ended = past.ended_at or ""
        if ended >= self.newest:
            self.newest, self.title, self.target = ended, phase.title, phase.target_seconds
        self.jobs += 1
        self.over += (
            phase.target_seconds is not None and phase.worked_seconds > phase.target_seconds
        )
        time = JobTime(ended, past.job, max(1, phase.worked_seconds))
        if len(self.times) < MOST_KEPT:
            heapq.heappush(self.times, time)
        else:
            heapq.heappushpop(self.times, time)


def phase_times(jobs: Iterable[tuple[str, PastJob]]) -> Iterator[PhaseTold]:
    """Yield what the times of every phase say, by shop, procedure and revision, newest first.

    A time below a second counts as one. A phase that a job never began is not counted.

    Args:
        jobs: Ended jobs in any order, each with its shop; they are gone through once.
    """
    kept: dict[Key, _Kept] = {}
    for shop, past in jobs:
        for place, phase in enumerate(past.phases):
            if phase.begun_at is not None:
                key = (shop, past.procedure.id, past.procedure.revision, phase.phase)
                kept.setdefault(key, _Kept(place)).take(past, phase)
    for key in sorted(kept, key=lambda key: (key[0], key[1], -key[2], kept[key].place, key[3])):
        yield _told(key, kept[key])


def _told(key: Key, kept: _Kept) -> PhaseTold:
    times = tuple(sorted(kept.times))
    chart = chart_of([time.worked for time in times])
    return PhaseTold(*key, kept.title, kept.target, kept.jobs, kept.over, times, chart)


def chart_of(worked: list[int]) -> Chart | Silence:
    """Return the chart of these times, the oldest first; silence with too few, or all alike.

    Times are skewed, so it is their logarithms that are charted (`spread.logs`).
    """
    scaled = logs(worked)
    drawn = limits(scaled)
    if isinstance(drawn, Silence):
        return drawn
    return Chart(drawn, signals(scaled, drawn))


def range_points(worked: list[int]) -> list[float | None]:
    """Return the moving range of every time in logarithms; the first has none."""
    return [None, *moving_ranges(logs(worked))]
