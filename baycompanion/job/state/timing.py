"""How long things took: each phase worked, paused and elapsed, against its target."""

from dataclasses import dataclass
from datetime import datetime

from baycompanion.job.events.moment import whole_milliseconds
from baycompanion.job.state.state import PhaseTime, State
from baycompanion.procedure.model import Phase, Procedure
from baycompanion.procedure.paths import applies

AWAY = 120
"""Seconds without an event after which a list of jobs takes nobody to be at work on one. As long
passes as work when a job is opened again."""


@dataclass(frozen=True, slots=True)
class PhaseSpan:
    """The seconds spent in one phase; `target` is None where the procedure gives none."""

    phase: str
    title: str
    target: int | None
    worked: int
    paused: int
    begun_at: str | None
    last_at: str | None

    @property
    def elapsed(self) -> int:
        """Seconds worked and paused together; time nobody can account for is in neither."""
        return self.worked + self.paused


def phase_spans(procedure: Procedure, state: State) -> tuple[PhaseSpan, ...]:
    """Return the time of each phase that applies to this vehicle, up to the newest event."""
    return tuple(
        _span(phase, state.phases.get(phase.phase, PhaseTime()))
        for phase in procedure.phases
        if applies(phase, state.choices)
    )


def _span(phase: Phase, time: PhaseTime) -> PhaseSpan:
    return PhaseSpan(
        phase=phase.phase,
        title=phase.title,
        target=phase.target,
        worked=time.worked // 1000,
        paused=time.paused // 1000,
        begun_at=time.begun_at,
        last_at=time.last_at,
    )


def worked_seconds(state: State) -> int:
    """Return the seconds worked on the whole job up to its newest event."""
    return sum(time.worked for time in state.phases.values()) // 1000


def seconds_since_last(state: State, when: datetime) -> int:
    """Return the whole seconds from the newest event to `when`; 0 if the clock ran back."""
    return max(0, whole_milliseconds(when) - state.last_ms) // 1000


def is_running(state: State) -> bool:
    """Return whether the time of a phase runs: the job is open, and no gap is to be explained."""
    return state.status == "open" and state.gap is None and state.phase is not None


def taken_at_work(state: State, when: datetime) -> bool:
    """Return whether a list of jobs takes somebody to be at work on the job at `when`."""
    return is_running(state) and seconds_since_last(state, when) <= AWAY


def clock_at(state: State, when: datetime) -> int:
    """Return the job's own clock at `when`, in milliseconds; it stands while a gap is open."""
    running = state.gap is None
    return state.clock + (max(0, whole_milliseconds(when) - state.last_ms) if running else 0)


def seconds_paused(state: State, when: datetime) -> int:
    """Return how long the pause now in force has lasted at `when`, in seconds; 0 without one.

    By the job's own clock: one set back takes nothing away from what had passed before.
    """
    if state.status != "paused" or not state.pauses:
        return 0
    return (clock_at(state, when) - state.pauses[-1].clock) // 1000
