"""What the made-up vehicle was taken for where it is something else: a choice answered wrong."""

from dataclasses import dataclass

from baycompanion.job.state.state import State
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.procedure.model import Procedure


@dataclass(frozen=True, slots=True)
class TakenFor:
    """One choice that was settled otherwise than the vehicle is."""

    title: str
    answered: str
    really: str


def taken_for(procedure: Procedure, made: MadeUpVehicle, state: State) -> tuple[TakenFor, ...]:
    """Return the choices that stand answered otherwise than the vehicle is, in their order.

    A wrong one leads the whole job another way, and no check of the procedure finds it.
    """
    return tuple(
        TakenFor(choice.title, state.choices[choice.choice], made.fact(choice))
        for choice in procedure.choices
        if state.choices.get(choice.choice, made.fact(choice)) != made.fact(choice)
    )
