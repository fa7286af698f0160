"""A decision while it is being made: the events said so far, and the state they lead to."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal, NoReturn

from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event, seal
from baycompanion.job.state.fold import fold
from baycompanion.job.state.gates import Missing
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step
from baycompanion.text.problem import quoted

ROLES = ("trainee", "technician", "supervisor")
"""From the least authority to the most."""


@dataclass(frozen=True, slots=True)
class Person:
    """A member of the staff, by id and role."""

    id: str
    role: str
    signed: Literal["pin"] | None = None
    """How they showed who they are; None where their id was taken at its word."""

    def is_at_least(self, role: str) -> bool:
        """Return whether this person has the authority of `role`; an unknown role has none."""
        return self.role in ROLES and ROLES.index(self.role) >= ROLES.index(role)


@dataclass(frozen=True, slots=True)
class Refused:
    """An action that was not carried out: why, and what would open the way."""

    why: str
    opens_by: tuple[Missing, ...] = ()

    def __str__(self) -> str:
        return " ".join([self.why, *(f"[{thing.words}]" for thing in self.opens_by)])


class Refusal(Exception):
    """Carries a `Refused` out of the rules to `decide`; nobody else sees it."""

    def __init__(self, refused: Refused) -> None:
        self.refused = refused
        super().__init__(refused.why)


def refuse(why: str, *opens_by: Missing | str) -> NoReturn:
    """Break off the decision."""
    things = (thing if isinstance(thing, Missing) else Missing(thing) for thing in opens_by)
    raise Refusal(Refused(why, tuple(things)))


@dataclass(slots=True)
class Draft:
    """What is decided so far; each event said is folded at once, so that rules see its effect."""

    procedure: Procedure
    state: State
    who: Person
    when: datetime
    events: list[Event] = field(default_factory=list)
    before: State = field(init=False)
    """The state that the decision began from."""

    def __post_init__(self) -> None:
        self.before = self.state

    def say(self, data: Data) -> None:
        """Add the event that says `data`."""
        event = seal(data, self.who.id, self.when, self.state.seq + 1, self.state.head)
        self.events.append(event)
        self.state = fold(self.state, event)

    def step(self, name: str) -> Step:
        """Return the step called `name`, or refuse."""
        if name not in self.procedure.steps:
            refuse(f"This procedure has no step {quoted(name)}.")
        return self.procedure.steps[name]

    def in_hand(self, name: str) -> Step:
        """Return the step called `name` if it is the one in hand, or refuse."""
        step = self.step(name)
        if self.state.current != name:
            refuse(f"“{step.text}” is not the step in hand.", *self._what_is(name))
        return step

    def read_first(self, name: str) -> Step:
        """Return the step in hand, or refuse while a danger or warning of it was not read."""
        step = self.in_hand(name)
        read = self.state.track(name).acknowledged
        unread = [
            f"{caution.signal.upper()}: {caution.hazard}"
            for place, caution in enumerate(step.cautions)
            if caution.signal in ("danger", "warning") and place not in read
        ]
        if unread:
            refuse("Read and acknowledge what stands before this step first.", *unread)
        return step

    def _what_is(self, name: str) -> tuple[Missing, ...]:
        """Return what is in hand instead of the step called `name`."""
        if self.state.track(name).finished:
            return (Missing("It is finished. Reopen it to do it again.", name),)
        current = self.state.current
        if current is None:
            return tuple(
                Missing(f"The gate {name} is shut.", gate.step)
                for name, gate in self.state.gates.items()
                if gate.standing == "held"
            )
        return (Missing(f"In hand is: {self.procedure.steps[current].text}", current),)
