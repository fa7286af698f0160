"""What stands against a job at its end: said before it is closed, and on the card of the closed."""

from collections.abc import Iterator

from baycompanion.job.state.order import steps_that_apply
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.views.card.card import Piece
from baycompanion.views.card.wording import answered
from baycompanion.views.forms.circuit_forms import load_pieces


def against(state: State) -> Iterator[Piece]:
    """Yield the faults that are open, and the gates that were overridden."""
    for fault in state.faults:
        if fault.open:
            yield Piece("bad", f"Open fault {fault.number} ({fault.cause}): {fault.words}")
    for override in state.overrides:
        said = f"Overridden: {override.data.gate}, by {override.by}, {override.data.reason}"
        yield Piece("bad", said)


def why_not_clean(procedure: Procedure, state: State) -> Iterator[Piece]:
    """Yield what the hand-over sheet of an ended job says was not as it should be.

    Of a job that was given up, no step and no load says more than the words of its end.
    """
    yield from against(state)
    if state.status != "closed":
        return
    yield from (piece for piece in load_pieces(state) if piece.tone == "bad")
    for step in steps_that_apply(procedure, state):
        if not state.track(step.id).good:
            came_out = answered(procedure, state, step)
            yield Piece("bad", f"{procedure.number[step.id]}. {step.text} {came_out}")
