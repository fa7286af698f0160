"""What was kept beside the answers, told at once: notes, photos, faults, circuits, a plan."""

from collections.abc import Iterator

from baycompanion.job.state.loads import loads
from baycompanion.job.state.state import Circuit, State
from baycompanion.text.counted import counted
from baycompanion.views.card.card import Piece


def kept_besides(before: State, now: State) -> Piece | None:
    """Return what beside the answers is new since `before`, None where nothing is.

    The card may have no line for it, or none in sight. A load over its fuse is told while the
    circuit can still be changed, not with the keys.
    """
    return next(_kept(before, now), None)


def _kept(before: State, now: State) -> Iterator[Piece]:
    if now.plan is not None and now.plan is not before.plan:
        joins, left = len(now.plan.joins), len(now.plan.left_over)
        told = f"Splice plan: {counted(joins, 'join')}, {counted(left, 'lead')} left over."
        yield Piece("label", told)
    for circuit in now.circuits:
        if circuit not in before.circuits:
            yield _circuit(circuit, now)
    for fault in now.faults:
        if fault not in before.faults:
            stands = "open" if fault.open else "put right"
            yield Piece("label", f"Fault {fault.number} ({fault.cause}), {stands}.")
    if len(now.photos) > len(before.photos):
        yield Piece("label", f"Photo added: {now.photos[-1].data.original}.")
    if len(now.notes) > len(before.notes):
        yield Piece("label", f"Note {len(now.notes)} of this job.")


def _circuit(circuit: Circuit, now: State) -> Piece:
    name = circuit.data.circuit
    if not circuit.in_use:
        return Piece("label", f"{name}: given back.")
    load = next((each for each in loads(now) if each.circuit.casefold() == name.casefold()), None)
    if load is None:
        return Piece("label", f"{name}: {circuit.data.method}, no load added.")
    return Piece("bad" if load.over else "label", f"{load}.")
