"""The whole paper form of a procedure, and of a job with everything answered so far."""

from dataclasses import replace
from datetime import datetime

from baycompanion.job.deciding.mentoring import in_hands
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.events.chain import fingerprint
from baycompanion.job.events.kinds import Opened
from baycompanion.job.state.order import next_step
from baycompanion.job.state.second_looks import hidden_now
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Phase, Procedure
from baycompanion.sheets.form import Blank, Form, Line, PhasePart, Source, Stamp
from baycompanion.sheets.standing import conditions, stands
from baycompanion.sheets.steps import caution_part, step_part
from baycompanion.sheets.tables import tables
from baycompanion.sheets.words import applying_note, moment, only_if, why_not
from baycompanion.text.duration import write_duration

SHORT_HASH = 12
"""Hex digits of a procedure's hash that are printed: enough to tell two revisions apart."""

ENDING = "The job is closed on the laptop, when everything on this sheet is keyed in."


def form_of_procedure(procedure: Procedure, procedure_hash: str, when: datetime) -> Form:
    """Return the form of a job not begun: nothing is answered, every choice is open.

    `procedure_hash` is the SHA-256, in hex, of the procedure with its includes resolved; `when`
    is the moment of printing and carries a zone.
    """
    opened = Opened(
        job="",
        procedure=procedure.procedure,
        title=procedure.title,
        revision=procedure.revision,
        procedure_hash=procedure_hash,
        work_order="",
        vehicle=Vehicle(description=""),
        role="",
    )
    return form_of_job(procedure, State(opened, "", "", ""), when)


def form_of_job(procedure: Procedure, state: State, when: datetime) -> Form:
    """Return the form of a job as it stands at `when`, which carries a zone."""
    source = Source(procedure, state, when, hidden_now(procedure, state))
    return Form(
        title=procedure.title,
        running=_running(source),
        facts=_facts(source),
        explained=_explained(source),
        stands=stands(source),
        fits=procedure.fits,
        hazards=tuple(
            replace(caution_part(hazard, read=False), read=None) for hazard in procedure.hazards
        ),
        accepted=Stamp(
            moment(source, state.accepted_at),
            by_label="" if state.accepted_at else "by",
            at_label="Read at",
        ),
        fitting=state.accepted_at is not None,
        standing=conditions(procedure),
        phases=tuple(_phase(source, phase) for phase in procedure.phases),
        for_the_owner=tuple(
            Line(line.tell, note=only_if(procedure, line))
            for line in procedure.for_the_owner
            if not why_not(source, line)
        ),
        ending=ENDING if state.ended_at is None else "",
        tables=tables(source),
    )


def _revision(source: Source) -> str:
    opened = source.state.opened
    return f"revision {opened.revision}, hash {opened.procedure_hash[:SHORT_HASH]}"


def _running(source: Source) -> str:
    opened = source.state.opened
    parts = (opened.work_order, opened.vehicle.description, f"{opened.title}, {_revision(source)}")
    return " · ".join(part for part in parts if part)


def _facts(source: Source) -> tuple[Blank, ...]:
    """Return the head of the form; what is not known yet is left to write in."""
    state, opened = source.state, source.state.opened
    head = fingerprint(state.head) if state.head else "no journal yet"
    return (
        Blank("Job", opened.job),
        Blank("Work order", opened.work_order),
        Blank("Vehicle", opened.vehicle.description, wide=True),
        Blank("VIN", opened.vehicle.vin),
        Blank("Plate", opened.vehicle.plate),
        Blank("Technician", in_hands(state.technician, state.mentor)),
        Blank("Procedure", f"{opened.title}, {_revision(source)}", wide=True),
        Blank("Fingerprint", head),
        Blank("Printed at", source.when.isoformat(" ", "minutes")),
    )


def _explained(source: Source) -> tuple[str, ...]:
    """Return how to go on by hand, and how it is keyed in afterwards."""
    state = source.state
    if state.status in ("closed", "abandoned"):
        return (f"This job is {state.status}. Nothing is to be done on this sheet.",)
    step = next_step(source.procedure, state) if state.opened.job else None
    begin = f"Begin at step {source.procedure.number[step.id]}. " if step is not None else ""
    job = state.opened.job or "JOB"
    start = "" if state.opened.job else "start a job if there is none yet, "
    return (
        f"{begin}Do the steps in the order of their numbers. Leave out a step, a line or a gate "
        "whose “only if” is not so, or whose “not if” is.",
        "Read every caution before its step, and tick that you have read it.",
        "At a gate, go on only when all that stands below it is true. If it is not, stop, or have "
        "it overridden by somebody who may: with reason, words, and what protects instead.",
        "Tick one box, write what is asked for, then the time and your own staff id. Strike a "
        "mistake out once, so that it can still be read.",
        "After a bad answer, stop. Do it again, or write it down as a fault at the end.",
        f"When the laptop runs again: {start}open it with “baycompanion resume {job}” (add --plain "
        "for the line-by-line mode), press F9 and choose “Copy from the paper form…”. Copy step "
        "after step with the time and the staff id written here. The record keeps both times: "
        "when it was done on paper, and when it was keyed in. Keep this sheet with the work order.",
    )


def _phase(source: Source, phase: Phase) -> PhasePart:
    return PhasePart(
        phase.title,
        write_duration(phase.target) if phase.target else "",
        applying_note(source, phase),
        tuple(step_part(source, step) for step in phase.steps),
    )
