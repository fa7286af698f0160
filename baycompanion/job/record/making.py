"""The job record: one self-contained JSON document worked out from the events of a job."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import asdict
from typing import Literal

from baycompanion.job.events.chain import fingerprint
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Opened
from baycompanion.job.record.making_vehicle import (
    circuit_record,
    difference_records,
    load_record,
    owner_word_record,
    splice_plan_record,
    tray_records,
)
from baycompanion.job.record.panels import panel_records
from baycompanion.job.record.vehicle import PartRecord
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.record.work import (
    RECORD_FORMAT,
    AttemptRecord,
    ClockBackRecord,
    EventRecord,
    FaultRecord,
    GapRecord,
    GateRecord,
    LineRecord,
    NoteRecord,
    OverrideRecord,
    PauseRecord,
    PhaseRecord,
    PhotoRecord,
    ProcedureNamed,
    RevisionRecord,
    SignOnRecord,
    StepRecord,
    WrongPinRecord,
)
from baycompanion.job.state.gates import gate_applies, missing
from baycompanion.job.state.loads import loads
from baycompanion.job.state.order import items_that_apply, step_state, why_not
from baycompanion.job.state.parts_list import parts_list
from baycompanion.job.state.second_looks import released_for_now
from baycompanion.job.state.state import Attempt, Gap, Revision, State, StepTrack
from baycompanion.job.state.timing import phase_spans
from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.steps import Step


def make_record(procedure: Procedure, state: State, events: Iterable[Event]) -> JobRecord:
    """Return the record of a job; `events` are those that `state` was folded from."""
    lines = [event.as_dict() for event in events]
    ended = state.status in ("closed", "abandoned")
    steps = [_step(procedure, state, step) for step in procedure.steps.values()]
    return JobRecord(
        record=RECORD_FORMAT,
        status=state.status if ended else "provisional",
        clean=state.clean,
        provisional=[step.id for step in released_for_now(procedure, state)],
        job=state.opened.job,
        work_order=state.opened.work_order,
        vehicle=state.opened.vehicle,
        procedure=_procedure(state.opened),
        revisions=[_revision(moved) for moved in state.revisions],
        technician=state.technician,
        mentor=state.mentor,
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
        panels=panel_records(procedure, state),
        tray=tray_records(procedure, state),
        order=state.opened.order.order if state.opened.order is not None else None,
        parts=[PartRecord(**asdict(each)) for each in parts_list(procedure, state)],
        owner_word=owner_word_record(procedure, state),
        earlier=state.opened.earlier,
        differences=difference_records(procedure, state),
        splice_plan=splice_plan_record(state.plan),
        circuits=[circuit_record(each) for each in state.circuits],
        loads=[load_record(load) for load in loads(state)],
        pauses=_pauses(state),
        gaps=_gaps(state),
        sign_ons=[
            SignOnRecord(at=each.at, by=each.by, role=each.data.role, signed=each.data.signed)
            for each in state.sign_ons
        ],
        wrong_pins=[
            WrongPinRecord(at=each.at, who=each.data.who, tries=each.data.tries)
            for each in state.wrong_pins
        ],
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


def _revision(moved: Revision) -> RevisionRecord:
    data = moved.data
    return RevisionRecord(
        at=moved.at,
        by=moved.by,
        words=data.words,
        was=data.was,
        was_sha256=moved.hash_before,
        revision=data.revision,
        added=data.added,
        gone=data.gone,
        changed=data.changed,
        gates_added=data.gates_added,
        gates_gone=data.gates_gone,
        gates_changed=data.gates_changed,
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
        attempts=[_attempt(step, attempt) for attempt in track.attempts],
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


CHECKING = ("check", "measure", "inspect", "witness")
"""Verbs that find out how something is; the others do something."""


def _attempt(step: Step, attempt: Attempt) -> AttemptRecord:
    answer = attempt.answer
    meaning: Literal["did", "checked", "released"]
    meaning = "checked" if step.verb in CHECKING else "did"
    if answer.outcome == "provisional":
        meaning = "released"
    return AttemptRecord(
        event=attempt.seq,
        at=attempt.at,
        by=attempt.by,
        meaning=meaning,
        outcome=answer.outcome,
        words=answer.words,
        reading=answer.number,
        unit=answer.unit,
        limits=answer.limits,
        instrument=answer.instrument,
        entries=answer.entries,
        details=answer.details,
        readings=answer.readings,
        signed=answer.signed,
        claimed=answer.claimed,
        on_paper=bool(answer.on_paper),
    )


def _lines(procedure: Procedure, state: State, step: Step, track: StepTrack) -> list[LineRecord]:
    return [
        LineRecord(
            item=item.item,
            name=item.name,
            outcome=tick.answer.outcome,
            words=tick.answer.words,
            count=tick.answer.count,
            size=tick.answer.size,
            slot=tick.answer.slot,
            exchanged=tick.answer.exchanged,
            exchanged_for=tick.answer.exchanged_for,
            exchanged_why=tick.answer.exchanged_why,
            code=tick.answer.code,
            instrument=tick.answer.instrument,
            due=tick.answer.due,
            marks=tick.answer.marks,
            together=tick.answer.together,
            at=tick.at,
            by=tick.by,
            claimed=tick.answer.claimed,
            on_paper=bool(tick.answer.on_paper),
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
            signed=override.data.signed,
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
            mark=fault.mark,
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
        GapRecord(
            since=gap.since,
            seconds=gap.milliseconds // 1000,
            how=gap.how,
            meaning=f"{meaning}{_said_by_another(gap)}",
        )
        for gap, meaning in gaps
    ]


def _said_by_another(gap: Gap) -> str:
    """Return who said what the time of somebody else was; nothing where it was their own."""
    if gap.explained_by in (None, gap.of):
        return ""
    return f", said {gap.explained_by} of the time of {gap.of}"


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
