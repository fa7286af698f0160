"""What a later job on the same vehicle keeps of an ended one: its sheet, and what it left."""

from collections.abc import Iterator
from typing import get_args

from baycompanion.job.events.carried import EarlierJob, EarlierLine, EarlierRemark, Method
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.record.work import LineRecord, OverrideRecord, StepRecord
from baycompanion.job.state.since import cut
from baycompanion.text.sentence import sentence


def earlier_job(record: JobRecord) -> EarlierJob:
    """Return what a later job keeps of the ended job that `record` tells of.

    Raises:
        ValueError: The job has not ended.
    """
    if record.status == "provisional" or record.ended_at is None:
        raise ValueError(f"The job {record.job} is still under way")
    return EarlierJob(
        job=record.job,
        last_hash=record.last_hash,
        work_order=record.work_order,
        vehicle=record.vehicle,
        procedure=record.procedure.id,
        title=record.procedure.title,
        revision=record.procedure.revision,
        technician=record.technician,
        status=record.status,
        ended_at=record.ended_at,
        lines=[_line(each) for each in _last_lines(record)],
        left=list(_left(record)),
    )


def _last_lines(record: JobRecord) -> Iterator[LineRecord]:
    """Yield every line of the condition sheets, by its last answer: before the work or after it."""
    last: dict[tuple[str, str], LineRecord] = {}
    for step in record.steps:
        if step.verb == "inspect":
            last.update({(line.item, line.name): line for line in step.lines})
    yield from last.values()


def _line(line: LineRecord) -> EarlierLine:
    return EarlierLine(
        item=line.item, name=line.name, outcome=line.outcome, words=line.words, marks=line.marks
    )


# --- what it left behind -------------------------------------------------------------------------


def _left(record: JobRecord) -> Iterator[EarlierRemark]:
    """Yield what the earlier job left behind, what was let go with authority first."""
    for gate in record.overrides:
        yield EarlierRemark(kind="override", words=_override(gate), gate=gate.gate)
    for step in record.steps:
        if step.state == "done with deviation":
            yield EarlierRemark(kind="deviation", words=_deviation(step))
    for fault in record.faults:
        if fault.open:
            yield EarlierRemark(kind="fault", words=f"of the {fault.cause}: {cut(fault.words)}")
    for circuit in record.circuits:
        if circuit.given_back_at is None:
            fuse = f", fuse {circuit.fuse_a} A" if circuit.fuse_a else ""
            said = f"{circuit.method} on {cut(circuit.circuit)}, {cut(circuit.place)}{fuse}"
            yield EarlierRemark(kind="circuit", words=said)
    for lead in record.splice_plan.left_over if record.splice_plan is not None else ():
        yield EarlierRemark(kind="lead", words=cut(lead.name))
    if record.earlier is not None:
        yield from _lasting(record.earlier)


def _lasting(before: EarlierJob) -> Iterator[EarlierRemark]:
    """Yield what still holds of a job that the earlier one itself came back from, by its order.

    What was opened with authority then, borrowed, or left over is still so behind the dash. Whether
    a fault or a step was put right since, the earlier job says.
    """
    by_order = False
    for each in before.left:
        by_order = by_order or _has_order(each)
        if each.kind in ("override", "circuit", "lead"):
            words = each.words if by_order else f"{before.work_order}: {each.words}"
            yield EarlierRemark(kind=each.kind, words=words)


def _has_order(each: EarlierRemark) -> bool:
    """Return whether it was left by a job before that one, whose work order it begins with.

    Behind it stand only such. A lead alone does not show it: its words may be anything.
    """
    if each.kind == "circuit":
        return each.words.partition(" ")[0] not in get_args(Method)
    return each.kind == "override" and each.gate is None


def _override(gate: OverrideRecord) -> str:
    missing = "; ".join(each.rstrip(".") for each in gate.missing)
    why = f"{gate.reason}. {sentence(cut(gate.words))}"
    return f"{gate.gate}, by {gate.by}: {why} Missing: {missing}."


def _deviation(step: StepRecord) -> str:
    last = step.attempts[-1] if step.attempts else None
    words = cut(step.lines_undone or last.words) if last is not None else ""
    said = f" {last.outcome}. {words}".rstrip() if last is not None else ""
    return f"{step.text}{said}"
