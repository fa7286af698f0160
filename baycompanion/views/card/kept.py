"""What was kept beside the answers, told at once: the load on a circuit, the joins of a plan."""

from baycompanion.job.state.loads import loads
from baycompanion.job.state.state import State
from baycompanion.text.counted import counted
from baycompanion.views.card.card import Piece


def kept_besides(before: State, now: State) -> Piece | None:
    """Return what of the register or the plan is new since `before`, None where nothing is.

    A load over its fuse is told while the circuit can still be changed, not with the keys.
    """
    if now.plan is not None and now.plan is not before.plan:
        joins, left = len(now.plan.joins), len(now.plan.left_over)
        told = f"Splice plan: {counted(joins, 'join')}, {counted(left, 'lead')} left over."
        return Piece("label", told)
    if len(now.circuits) == len(before.circuits):
        return None
    circuit = now.circuits[-1].data.circuit.casefold()
    load = next((each for each in loads(now) if each.circuit.casefold() == circuit), None)
    return Piece("bad" if load.over else "label", f"{load}.") if load is not None else None
