"""When a running job is likely to be ready, in words, from the shop's own jobs of its kind.

What is predicted is time worked. It is told as a time of day where somebody works on the job, as
if no pause came; where nobody does, as work that is left.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil
from typing import Any

from baycompanion.job.events.moment import later
from baycompanion.job.record.past_job import PastJob
from baycompanion.job.state.state import State
from baycompanion.job.state.timing import (
    PhaseSpan,
    is_running,
    phase_spans,
    seconds_since_last,
    taken_at_work,
)
from baycompanion.procedure.model import Procedure
from baycompanion.spread import ready_by as spread
from baycompanion.spread.silence import Silence
from baycompanion.text.duration import rough_duration

STEP = 5 * 60
"""Seconds that both times are rounded up to, so that they promise no minute and do not flicker."""


@dataclass(frozen=True, slots=True)
class ReadyBy:
    """How much work is left, in seconds, and as times of day where it is being done."""

    left: spread.Remaining
    when: datetime
    at_work: bool
    """Whether somebody works on it at `when`."""

    @property
    def phrases(self) -> tuple[str, ...]:
        """What can be said, the whole of it first, then less for where there is less room."""
        likely, _ = self._said
        whole = ", ".join(filter(None, self._said))
        return tuple(dict.fromkeys((f"ready: {self}", str(self), whole, likely)))

    def __str__(self) -> str:
        return f"{', '.join(filter(None, self._said))} ({self._jobs})"

    @property
    def _said(self) -> tuple[str, str]:
        likely, safe = self.left.likely, self.left.safe
        if self.at_work:
            by = f"9 in 10 by {self._clock(safe)}" if safe is not None else ""
            return f"likely by {self._clock(likely)}", by
        within = f"9 in 10 within {_length(safe)}" if safe is not None else ""
        return f"about {_length(likely)} of work left", within

    @property
    def _jobs(self) -> str:
        left = self.left
        return f"{left.jobs} jobs" if left.jobs == left.past else f"{left.jobs} of {left.past} jobs"

    def moment(self, seconds: float) -> datetime:
        """Return the time of day in so many seconds, rounded up to five minutes."""
        at = later(self.when.replace(microsecond=0), ceil(seconds))
        return later(at, -(at.minute * 60 + at.second) % STEP)

    def _clock(self, seconds: float) -> str:
        at = self.moment(seconds)
        return f"{at:%H:%M}" if at.date() == self.when.date() else f"{at:%Y-%m-%d %H:%M}"

    def as_dict(self) -> dict[str, Any]:
        """Return it as programs read it: seconds of work as they are, times of day rounded up."""
        left = self.left
        return {
            "likely_seconds": int(left.likely),
            "nine_in_ten_seconds": None if left.safe is None else int(left.safe),
            "likely_by": self.moment(left.likely).isoformat() if self.at_work else None,
            "nine_in_ten_by": (
                self.moment(left.safe).isoformat()
                if self.at_work and left.safe is not None
                else None
            ),
            "jobs": left.jobs,
            "past_jobs": left.past,
        }


def _length(seconds: float) -> str:
    """Return a length of time rounded up to five minutes."""
    return rough_duration(ceil(seconds / STEP) * STEP)


def ready_by(
    procedure: Procedure, state: State, past: Sequence[PastJob], when: datetime
) -> ReadyBy | None:
    """Return when the job in hand is likely to be ready; None where nothing can be said."""
    at_work = is_running(state)
    since = seconds_since_last(state, when) if at_work else 0
    return _ready(procedure, state, past, when, since, at_work)


def ready_by_of_listed(
    procedure: Procedure, state: State, past: Sequence[PastJob], when: datetime
) -> ReadyBy | None:
    """Return the same of a job that is only listed: after a while somebody may have left it."""
    at_work = taken_at_work(state, when)
    since = seconds_since_last(state, when) if at_work else 0
    return _ready(procedure, state, past, when, since, at_work)


def _ready(
    procedure: Procedure,
    state: State,
    past: Sequence[PastJob],
    when: datetime,
    since: int,
    at_work: bool,
) -> ReadyBy | None:
    if state.status not in ("open", "paused") or state.gap is not None:
        return None
    spans = phase_spans(procedure, state)
    here = next((at for at, span in enumerate(spans) if span.phase == state.phase), 0)
    if not spans or _went_back(spans[here + 1 :]):
        return None
    names = [span.phase for span in spans[here:]]
    alike = _alike(procedure, state, past, names)
    left = spread.remaining(alike, spans[here].worked + since)
    return None if isinstance(left, Silence) else ReadyBy(left, when, at_work)


def _went_back(later: Sequence[PhaseSpan]) -> bool:
    """Return whether a later phase was begun before: no past job says how long that takes."""
    return any(span.begun_at is not None for span in later)


def _alike(
    procedure: Procedure, state: State, past: Sequence[PastJob], names: Sequence[str]
) -> list[spread.PastJob]:
    """Return the times of the past jobs that went through the phases `names`, from here on.

    Where a choice is not settled yet, jobs with and without the phase that hangs on it count.
    """
    unsettled = {
        phase.phase
        for phase in procedure.phases
        if not {*phase.when, *phase.unless} <= state.choices.keys()
    }

    def sure(phases: Sequence[str]) -> list[str]:
        return [phase for phase in phases if phase not in unsettled]

    here, alike = names[0], []
    for worked in (job.worked for job in past):
        phases = list(worked)
        if here in worked and sure(tail := phases[phases.index(here) :]) == sure(names):
            later = sum(worked[phase] for phase in tail[1:])
            alike.append(spread.PastJob(worked[here], later))
    return alike
