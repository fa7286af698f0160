"""What comes next, asked before it is shown: at which steps, and between which answers."""

from baycompanion.job.deciding.practising import gates_run_into, needed_first, not_protecting
from baycompanion.job.state.order import steps_that_apply
from baycompanion.job.state.state import State
from baycompanion.learning.drawing_lots import lot
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step

MOST_CHOICES = 6
"""Steps to choose from, the right one among them."""

LEAST_CHOICES = 3
"""Below so many, steps that could be done as well fill up: a question needs something to ask."""

SHARE = 0.15
"""Of the steps that stand at no junction, the share at which it is asked too. Own choice."""


def asks_next(procedure: Procedure, seed: int, step: Step) -> bool:
    """Return whether it is asked what comes next before `step` is shown.

    It is at every junction, where order matters most: the first step of a phase, a step that a gate
    waits for, and the first one that a gate holds. Of the others it is a share, drawn by `seed`.
    """
    first = procedure.phase_of[step.id].steps[0].id == step.id
    by_lot = lot(seed, "asks-next", step.id).random() < SHARE
    return first or step.id in _at_gates(procedure) or by_lot


def _at_gates(procedure: Procedure) -> set[str]:
    """Return the steps that gates wait for, and the first one that each of them holds."""
    found = {
        name
        for gate in procedure.gates
        for condition in leaves(gate.until)
        if (name := step_named(condition)) is not None
    }
    held: set[str] = set()
    for step in procedure.steps.values():
        new = {gate.gate for gate in procedure.gates_on[step.id]} - held
        if new:
            found.add(step.id)
            held |= new
    return found


def next_choices(procedure: Procedure, state: State, due: Step, seed: int) -> tuple[Step, ...]:
    """Return the steps to choose from for what comes next, `due` among them, in an order by lot.

    The wrong ones are steps that may not be done now: a gate would hold them, what protects them is
    not in force, or they rest on a step that is open. Those of the same phase come first, as they
    are the plausible ones. Only where a procedure has too few of them, others fill up.
    """
    ahead = [
        step
        for step in steps_that_apply(procedure, state)
        if step.id != due.id and not state.track(step.id).finished
    ]
    phase = procedure.phase_of[due.id].phase
    near = [step for step in ahead if procedure.phase_of[step.id].phase == phase]
    far = [step for step in ahead if procedure.phase_of[step.id].phase != phase]
    chosen: list[Step] = []
    for steps in (near, far):
        for step in steps:
            if len(chosen) < MOST_CHOICES - 1 and may_not_follow(procedure, state, step):
                chosen.append(step)
    others = [step for step in near if step not in chosen]
    chosen += others[: max(0, LEAST_CHOICES - 1 - len(chosen))]
    choices = sorted([due, *chosen], key=lambda step: procedure.number[step.id])
    lot(seed, "choices", due.id).shuffle(choices)
    return tuple(choices)


def may_not_follow(procedure: Procedure, state: State, step: Step) -> bool:
    """Return whether something that `step` needs is still open."""
    return (
        bool(gates_run_into(procedure, state, step))
        or bool(not_protecting(procedure, state, step))
        or bool(needed_first(procedure, state, step))
    )
