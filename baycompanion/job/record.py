"""The job record: one self-contained JSON document worked out from the events of a job."""

from collections import Counter
from collections.abc import Iterable
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

from baycompanion.job.chain import fingerprint
from baycompanion.job.events import Event, Opened, Vehicle
from baycompanion.job.gates import gate_applies, missing
from baycompanion.job.order import (
    StepState,
    items_that_apply,
    step_state,
    why_not,
)
from baycompanion.job.state import Attempt, State, StepTrack
from baycompanion.job.timing import phase_spans
from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.steps import Step

RECORD_FORMAT = 1


class Part(BaseModel):
    """Parent of the pieces of a record."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


class ProcedureNamed(Part):
    """Which procedure the job followed."""

    id: str
    title: str
    revision: int
    sha256: str
    """Of the pinned procedure file."""


class AttemptRecord(Part):
    """One answer to a step."""

    event: int
    at: str
    by: str
    outcome: str
    words: str
    reading: str | None
    """An exact decimal, in the unit beside it."""
    unit: str | None
    limits: str | None
    instrument: str | None
    entries: list[str] | None
    details: dict[str, str] | None
    claimed: str | None
    """For a late entry, when it is said to have happened."""


class LineRecord(Part):
    """One line of a step answered line by line."""

    item: str
    name: str
    outcome: str
    words: str
    count: int | None
    instrument: str | None
    due: str | None
    at: str
    by: str


class StepRecord(Part):
    """One step and what came of it."""

    number: int
    id: str
    phase: str
    verb: str
    text: str
    state: StepState
    because: str
    """For a step that does not apply, why."""
    attempts: list[AttemptRecord]
    """Every answer, the first kept beside the later ones."""
    lines: list[LineRecord]
    cautions: int
    cautions_read: int
    fault: int | None
    """The fault that a bad outcome was put down as."""
    reopened: list[str]
    begun_at: str | None
    finished_at: str | None
    worked_seconds: int
    target_seconds: int | None
    shortest_seconds: int | None


class OverrideRecord(Part):
    """One override."""

    gate: str
    at: str
    by: str
    role: str
    reason: str
    words: str
    instead: str
    missing: list[str]


class GateRecord(Part):
    """One gate and how it came to open."""

    id: str
    holds: list[str]
    because: str
    may_override: str
    came_to: Literal[
        "opened by its condition",
        "overridden",
        "held",
        "shut again",
        "not reached",
        "not applicable",
    ]
    at: str | None
    missing: list[str]
    """What it still waits for, or was opened without."""


class PhaseRecord(Part):
    """The time of one phase, in seconds."""

    phase: str
    title: str
    target_seconds: int | None
    worked_seconds: int
    paused_seconds: int
    elapsed_seconds: int
    begun_at: str | None
    last_at: str | None


class PauseRecord(Part):
    """One pause, or change of hands."""

    at: str
    by: str
    reason: str
    loose: str
    first: str
    ended_at: str | None
    ended_by: str | None
    handed_to: str | None
    handed_words: str
    read_back: str


class FaultRecord(Part):
    """One fault."""

    fault: int
    cause: Literal["vehicle", "work"]
    words: str
    step: str | None
    item: str | None
    at: str
    by: str
    open: bool
    cleared_at: str | None
    cleared_by: str | None
    cleared_words: str


class NoteRecord(Part):
    """One note."""

    at: str
    by: str
    words: str
    step: str | None


class PhotoRecord(Part):
    """One photo."""

    at: str
    by: str
    file: str
    sha256: str
    size: int
    original: str
    step: str | None


class GapRecord(Part):
    """Time the program could not account for, and what it was said to be."""

    since: str
    seconds: int
    how: Literal["left", "slept"]
    meaning: str


class ClockBackRecord(Part):
    """A clock that jumped back."""

    at: str
    seconds: int


class EventRecord(Part):
    """One line of the journal, as it was written."""

    seq: int
    at: str
    by: str
    kind: str
    data: dict[str, Any]
    prev: str
    hash: str


class JobRecord(Part):
    """The record of one job."""

    record: int
    """The format of this document."""
    status: Literal["closed", "abandoned", "provisional"]
    """Provisional: the job was still under way."""
    clean: bool | None
    """Nothing overridden, no deviation, no fault of the work open; null before the end."""
    job: str
    work_order: str
    vehicle: Vehicle
    procedure: ProcedureNamed
    technician: str
    """In whose hands the job is, or was at the end."""
    people: dict[str, int]
    """Everybody who appears, with the number of events by them."""
    opened_at: str
    accepted_at: str | None
    ended_at: str | None
    ended_words: str
    choices: dict[str, str]
    totals: dict[str, int]
    """How many steps are in each state."""
    phases: list[PhaseRecord]
    steps: list[StepRecord]
    gates: list[GateRecord]
    overrides: list[OverrideRecord]
    faults: list[FaultRecord]
    pauses: list[PauseRecord]
    gaps: list[GapRecord]
    clock_backs: list[ClockBackRecord]
    notes: list[NoteRecord]
    photos: list[PhotoRecord]
    events: list[EventRecord]
    last_hash: str
    fingerprint: str


def make_record(procedure: Procedure, state: State, events: Iterable[Event]) -> JobRecord:
    """Return the record of a job; `events` are those that `state` was folded from."""
    lines = [event.as_dict() for event in events]
    ended = state.status in ("closed", "abandoned")
    steps = [_step(procedure, state, step) for step in procedure.steps.values()]
    return JobRecord(
        record=RECORD_FORMAT,
        status=state.status if ended else "provisional",
        clean=state.clean,
        job=state.opened.job,
        work_order=state.opened.work_order,
        vehicle=state.opened.vehicle,
        procedure=_procedure(state.opened),
        technician=state.technician,
        people=dict(sorted(Counter(line["by"] for line in lines).items())),
        opened_at=state.opened_at,
        accepted_at=state.accepted_at,
        ended_at=state.ended_at,
        ended_words=state.ended_words,
        choices=dict(sorted(state.choices.items())),
        totals=dict(sorted(Counter(step.state for step in steps).items())),
        phases=_phases(procedure, state),
        steps=steps,
        gates=[_gate(procedure, state, gate) for gate in procedure.all_gates.values()],
        overrides=_overrides(state),
        faults=_faults(state),
        pauses=_pauses(state),
        gaps=_gaps(state),
        clock_backs=[ClockBackRecord(at=at, seconds=back) for at, back in state.clock_backs],
        notes=[
            NoteRecord(at=note.at, by=note.by, words=note.words, step=note.step)
            for note in state.notes
        ],
        photos=_photos(state),
        events=[EventRecord(**line) for line in lines],
        last_hash=state.head,
        fingerprint=fingerprint(state.head),
    )


def _procedure(opened: Opened) -> ProcedureNamed:
    return ProcedureNamed(
        id=opened.procedure,
        title=opened.title,
        revision=opened.revision,
        sha256=opened.procedure_hash,
    )


def _phases(procedure: Procedure, state: State) -> list[PhaseRecord]:
    return [
        PhaseRecord(
            phase=span.phase,
            title=span.title,
            target_seconds=span.target,
            worked_seconds=span.worked,
            paused_seconds=span.paused,
            elapsed_seconds=span.elapsed,
            begun_at=span.begun_at,
            last_at=span.last_at,
        )
        for span in phase_spans(procedure, state)
    ]


def _step(procedure: Procedure, state: State, step: Step) -> StepRecord:
    track = state.track(step.id)
    return StepRecord(
        number=procedure.number[step.id],
        id=step.id,
        phase=procedure.phase_of[step.id].phase,
        verb=step.verb,
        text=step.text,
        state=step_state(procedure, state, step),
        because=why_not(procedure, state, step),
        attempts=[_attempt(attempt) for attempt in track.attempts],
        lines=_lines(procedure, state, step, track),
        cautions=len(step.cautions),
        cautions_read=len(track.acknowledged),
        fault=track.settled,
        reopened=list(track.reopened),
        begun_at=track.begun_at,
        finished_at=track.finished_at,
        worked_seconds=track.worked // 1000,
        target_seconds=step.target,
        shortest_seconds=step.shortest,
    )


def _attempt(attempt: Attempt) -> AttemptRecord:
    answer = attempt.answer
    return AttemptRecord(
        event=attempt.seq,
        at=attempt.at,
        by=attempt.by,
        outcome=answer.outcome,
        words=answer.words,
        reading=answer.number,
        unit=answer.unit,
        limits=answer.limits,
        instrument=answer.instrument,
        entries=answer.entries,
        details=answer.details,
        claimed=answer.claimed,
    )


def _lines(procedure: Procedure, state: State, step: Step, track: StepTrack) -> list[LineRecord]:
    return [
        LineRecord(
            item=item.item,
            name=item.name,
            outcome=tick.answer.outcome,
            words=tick.answer.words,
            count=tick.answer.count,
            instrument=tick.answer.instrument,
            due=tick.answer.due,
            at=tick.at,
            by=tick.by,
        )
        for item in items_that_apply(procedure, state, step)
        if (tick := track.ticks.get(item.item)) is not None
    ]


def _gate(procedure: Procedure, state: State, gate: Gate) -> GateRecord:
    track = state.gates.get(gate.gate)
    came_to = {
        None: "not reached",
        "open": "opened by its condition",
    }.get(track.standing if track else None, track.standing if track else "")
    if not gate_applies(procedure, state, gate):
        came_to = "not applicable"
    things = missing(procedure, state, gate) if track and track.standing != "open" else ()
    override = track.override if track else None
    return GateRecord(
        id=gate.gate,
        holds=list(gate.holds),
        because=gate.because,
        may_override=gate.override,
        came_to=came_to,
        at=track.at if track else None,
        missing=override.missing if override else [thing.words for thing in things],
    )


def _overrides(state: State) -> list[OverrideRecord]:
    return [
        OverrideRecord(
            gate=override.data.gate,
            at=override.at,
            by=override.by,
            role=override.data.role,
            reason=override.data.reason,
            words=override.data.words,
            instead=override.data.instead,
            missing=override.data.missing,
        )
        for override in state.overrides
    ]


def _faults(state: State) -> list[FaultRecord]:
    return [
        FaultRecord(
            fault=fault.number,
            cause=fault.cause,
            words=fault.words,
            step=fault.step,
            item=fault.item,
            at=fault.at,
            by=fault.by,
            open=fault.open,
            cleared_at=fault.cleared_at,
            cleared_by=fault.cleared_by,
            cleared_words=fault.cleared_words,
        )
        for fault in state.faults
    ]


def _pauses(state: State) -> list[PauseRecord]:
    return [
        PauseRecord(
            at=pause.at,
            by=pause.by,
            reason=pause.data.reason,
            loose=pause.data.loose,
            first=pause.data.first,
            ended_at=pause.ended_at,
            ended_by=pause.ended_by,
            handed_to=pause.handed_to,
            handed_words=pause.handed_words,
            read_back=pause.read_back,
        )
        for pause in state.pauses
    ]


def _gaps(state: State) -> list[GapRecord]:
    gaps = [*state.gaps, *([(state.gap, "not explained yet")] if state.gap else [])]
    return [
        GapRecord(since=gap.since, seconds=gap.milliseconds // 1000, how=gap.how, meaning=meaning)
        for gap, meaning in gaps
    ]


def _photos(state: State) -> list[PhotoRecord]:
    return [
        PhotoRecord(
            at=photo.at,
            by=photo.by,
            file=photo.data.file,
            sha256=photo.data.sha256,
            size=photo.data.size,
            original=photo.data.original,
            step=photo.data.step,
        )
        for photo in state.photos
    ]
