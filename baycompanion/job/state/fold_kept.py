"""The fold of what is kept beside the steps: notes, photos, faults, circuits, the splice plan."""

from typing import Any

from baycompanion.job.events import kinds
from baycompanion.job.events.event import Event
from baycompanion.job.state.adding import Adding
from baycompanion.job.state.replacing import replace
from baycompanion.job.state.state import Circuit, Fault, Note, Photo


def noted(adding: Adding, data: kinds.Noted, event: Event) -> None:
    """Keep a note."""
    note = Note(data.words, data.step, event.at, event.by)
    adding.put_last("notes", note)


def photo_added(adding: Adding, data: kinds.PhotoAdded, event: Event) -> None:
    """Keep which photo was added."""
    photo = Photo(data, event.at, event.by, event.seq)
    adding.put_last("photos", photo)


def fault_raised(adding: Adding, data: kinds.FaultRaised, event: Event) -> None:
    """Keep a fault that is open."""
    fault = Fault(data.fault, data.cause, data.words, data.step, data.item, event.at, event.by)
    fault = replace(fault, mark=data.mark)
    adding.put_last("faults", fault)


def fault_cleared(adding: Adding, data: kinds.FaultCleared, event: Event) -> None:
    """Keep that a fault was put right."""
    faults = tuple(
        replace(fault, cleared_at=event.at, cleared_by=event.by, cleared_words=data.words)
        if fault.number == data.fault and fault.open
        else fault
        for fault in adding.state.faults
    )
    adding.put(faults=faults)


def circuit_borrowed(adding: Adding, data: kinds.CircuitBorrowed, event: Event) -> None:
    """Enter a circuit in the register."""
    circuit = Circuit(data, event.at, event.by, event.seq)
    adding.put_last("circuits", circuit)


def circuit_given_back(adding: Adding, data: kinds.CircuitGivenBack, event: Event) -> None:
    """Keep that a circuit is as it was before."""
    back: dict[str, Any] = {"given_back_at": event.at, "given_back_by": event.by}
    circuits = tuple(
        replace(each, given_back_words=data.words, **back)
        if each.data.number == data.number and each.in_use
        else each
        for each in adding.state.circuits
    )
    adding.put(circuits=circuits)


def splice_planned(adding: Adding, data: kinds.SplicePlanned, event: Event) -> None:
    """Take the plan over; a line that is another now has no answer yet."""
    state = adding.state
    if state.plan is not None:
        kept = {(line.item, line.name) for line in (*data.joins, *data.left_over)}
        before = {(line.item, line.name) for line in (*state.plan.joins, *state.plan.left_over)}
        other = {item for item, _ in before - kept}
        for name, track in list(state.steps.items()):
            if not track.finished and other & track.ticks.keys():
                ticks = {item: tick for item, tick in track.ticks.items() if item not in other}
                adding.track(name, ticks=ticks)
    adding.put(plan=data)
