"""What a record tells of the vehicle, worked out: tray, joins, circuits, what came back worse."""

from dataclasses import asdict

from baycompanion.job.events.kinds import SplicePlanned
from baycompanion.job.record.vehicle import (
    CircuitRecord,
    DifferenceRecord,
    LoadRecord,
    OwnerWordRecord,
    SplicePlanRecord,
    TrayRecord,
)
from baycompanion.job.state.loads import Load
from baycompanion.job.state.owner_word import owner_word
from baycompanion.job.state.since import differences
from baycompanion.job.state.state import Circuit, State
from baycompanion.job.state.tray import whole_tray
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Do
from baycompanion.text.reading import write_number


def tray_records(procedure: Procedure, state: State) -> list[TrayRecord]:
    """Return the tray of the job, line by line; a count that was taken back is none."""
    found = []
    for line, back in whole_tray(procedure, state):
        fields = asdict(line)
        if line.out is not None:
            del fields["before"]
            found.append(TrayRecord(**fields, back_step=back, left=line.left, words=str(line)))
    return found


def owner_word_record(procedure: Procedure, state: State) -> OwnerWordRecord | None:
    """Return the newest word of the owner, None before there is one."""
    said = owner_word(procedure, state)
    return OwnerWordRecord(**asdict(said)) if said is not None else None


def difference_records(procedure: Procedure, state: State) -> list[DifferenceRecord]:
    """Return what is worse than the earlier job left it, with where it was said to come from."""
    tracing = [
        state.track(step.id).ticks
        for step in procedure.steps.values()
        if isinstance(step, Do) and step.each == "differences"
    ]
    found = []
    for each in differences(procedure, state):
        said = [ticks[each.item.item].answer for ticks in tracing if each.item.item in ticks]
        found.append(
            DifferenceRecord(
                step=each.step,
                item=each.item.item,
                name=each.item.name,
                origin=said[-1].outcome if said else None,
                words=said[-1].words if said else "",
            )
        )
    return found


def splice_plan_record(plan: SplicePlanned | None) -> SplicePlanRecord | None:
    """Return the splice plan, None where the job has none."""
    if plan is None:
        return None
    return SplicePlanRecord(joins=plan.joins, left_over=plan.left_over, files=plan.files)


def circuit_record(each: Circuit) -> CircuitRecord:
    """Return one borrowed circuit."""
    return CircuitRecord(
        number=each.data.number,
        circuit=each.data.circuit,
        place=each.data.place,
        method=each.data.method,
        fuse_a=each.data.fuse_a,
        load_a=each.data.load_a,
        step=each.data.step,
        at=each.at,
        by=each.by,
        given_back_at=each.given_back_at,
        given_back_by=each.given_back_by,
        given_back_words=each.given_back_words,
    )


def load_record(load: Load) -> LoadRecord:
    """Return what is added to one circuit."""
    return LoadRecord(
        circuit=load.circuit,
        added_a=write_number(load.added_a),
        fuse_a=write_number(load.fuse_a) if load.fuse_a is not None else None,
        over=load.over,
    )
