"""The bay board: each job with how far it is, and what it waits for."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from baycompanion.job.deciding.mentoring import in_hands
from baycompanion.job.events.kinds import Opened
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.order import next_step
from baycompanion.job.state.state import State
from baycompanion.job.state.timing import seconds_since_last, taken_at_work, worked_seconds
from baycompanion.procedure.model import Procedure
from baycompanion.text.counted import counted
from baycompanion.text.duration import rough_duration
from baycompanion.views.board.line import ended_text, which_job

if TYPE_CHECKING:
    from baycompanion.job.record.past_job import PastJob


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One job on the board, field by field, as text."""

    job: str
    work_order: str
    vehicle: str
    title: str
    technician: str
    mentor: str | None
    status: str
    phase: str
    step: int
    steps: int
    worked_seconds: int
    target_seconds: int
    waits_for: str
    ready: str = ""
    """When it is likely to be ready; nothing where the past says nothing."""

    @property
    def headline(self) -> str:
        """Which job it is."""
        return f"{which_job(self.work_order, self.vehicle, self.title)} · {self.hands}"

    @property
    def hands(self) -> str:
        """Whose job it is."""
        return in_hands(self.technician, self.mentor)

    @property
    def place(self) -> str:
        """Which step it is at, counted as the job's own screen counts: by the file."""
        return f"step {self.step} of {self.steps}"

    @property
    def detail(self) -> str:
        """How far it is, and what it waits for."""
        return " · ".join(filter(None, (self.progress, self.ready, self.waits_for)))

    @property
    def progress(self) -> str:
        """How far it is."""
        times = f"{rough_duration(self.worked_seconds)} of {rough_duration(self.target_seconds)}"
        phase = f"{self.phase} · " if self.phase else ""
        return f"{phase}{self.place} · {times}"


def board_row(
    procedure: Procedure, state: State, when: datetime, past: "Sequence[PastJob]" = ()
) -> BoardRow:
    """Return the line of a job that is under way; `past` are ended jobs of the same procedure."""
    ready = _ready(procedure, state, past, when) if past else ""
    step = next_step(procedure, state)
    since = seconds_since_last(state, when) if taken_at_work(state, when) else 0
    return BoardRow(
        job=state.opened.job,
        work_order=state.opened.work_order,
        vehicle=state.opened.vehicle.description,
        title=state.opened.title,
        technician=state.technician,
        mentor=state.mentor,
        status=state.status,
        phase=procedure.phase_named[state.phase].title if state.phase else "",
        step=procedure.number[step.id] if step else len(procedure.steps),
        steps=len(procedure.steps),
        worked_seconds=worked_seconds(state) + since,
        target_seconds=sum(phase.target or 0 for phase in procedure.phases),
        waits_for=waits_for(procedure, state),
        ready=ready,
    )


def _ready(procedure: Procedure, state: State, past: "Sequence[PastJob]", when: datetime) -> str:
    from baycompanion.views.board.ready_by import ready_by_of_listed  # a first list knows no past

    ready = ready_by_of_listed(procedure, state, past, when)
    return f"ready: {ready}" if ready is not None else ""


def waits_for(procedure: Procedure, state: State) -> str:
    """Return what a job waits for, in a few words."""
    if state.gap is not None:
        return "time to be explained"
    if state.status == "paused":
        return f"paused: {state.pauses[-1].data.reason}" if state.pauses else "paused"
    if state.accepted_at is None:
        return "the hazards to be read" if procedure.hazards else "a word that the procedure fits"
    holding = gates_holding(procedure, state)
    if holding:
        return f"gate shut: {holding[0]}"
    step = next_step(procedure, state)
    return f"now: {step.text}" if step else "to be closed"


def ended_line(opened: Opened, opened_at: str, standing: str) -> str:
    """Return the one line of a job that has ended."""
    which = which_job(opened.work_order, opened.vehicle.description, opened.title)
    earlier = opened.earlier.work_order if opened.earlier else None
    return ended_text(opened_at, which, standing, earlier)


def due_line(who: str, number: int) -> str:
    """Return the line of the board for somebody who has cards due."""
    return f"{who}: {counted(number, 'question')} due today"
