"""The register of borrowed circuits: what is written down of a tap, a splice or a ground."""

from baycompanion.job.actions import Borrow, GiveBack
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.kinds import CircuitBorrowed, CircuitGivenBack
from baycompanion.job.state.state import State
from baycompanion.procedure.steps import Do, Step
from baycompanion.text.reading import write_number


def borrow(draft: Draft, action: Borrow) -> None:
    """Keep where the job taps, splices into or grounds to the vehicle."""
    if action.method == "ground" and (action.load_a is not None or action.fuse_a is not None):
        refuse("A ground lies behind no fuse, and adds no load. Leave both empty.")
    if action.method != "ground" and action.load_a is None:
        refuse("How much load does it add? Type it in A; 0 where it only senses.")
    for name, number in (("fuse", action.fuse_a), ("load", action.load_a)):
        if number is not None and not 0 <= number <= MOST_AMPS:
            refuse(f"A {name} of {write_number(number)} A cannot be. Type 0 to {MOST_AMPS} A.")
    draft.say(
        CircuitBorrowed(
            number=len(draft.state.circuits) + 1,
            circuit=action.borrow,
            place=action.place,
            method=action.method,
            fuse_a=write_number(action.fuse_a) if action.fuse_a is not None else None,
            load_a=write_number(action.load_a) if action.load_a is not None else None,
            step=draft.state.current,
        )
    )


MOST_AMPS = 500
"""The largest fuse and load in A that are taken for no slip of the pen. Own choice."""


def give_back(draft: Draft, action: GiveBack) -> None:
    """Keep that a circuit is as it was before it was borrowed."""
    in_use = [each.data.number for each in draft.state.circuits if each.in_use]
    if action.give_back not in in_use:
        listed = ", ".join(map(str, in_use)) or "none"
        refuse(f"Circuit {action.give_back} is not borrowed. Borrowed are: {listed}.")
    draft.say(CircuitGivenBack(number=action.give_back, words=action.words))


def refuse_unlogged(draft: Draft, step: Step) -> None:
    """Refuse to finish a step that borrows a circuit before the register has it."""
    if isinstance(step, Do) and unlogged(draft.state, step):
        refuse(
            f"This step makes a {step.borrows}, and the register has none of it yet.",
            "Write the circuit down.",
        )


def unlogged(state: State, step: Do) -> bool:
    """Return whether `step` borrows a circuit that the register does not have yet."""
    since = state.track(step.id).reopened_seq
    return step.borrows is not None and not any(
        each.data.step == step.id and each.data.method == step.borrows and each.seq > since
        for each in state.circuits
    )
