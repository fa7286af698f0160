"""A practice for tests, in memory: any procedure, walked by whoever has a way to walk it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from bay import N1, SMALL, keys_in

from baycompanion.job.actions import Action, Answer
from baycompanion.job.deciding.decide import Decided, decide
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.opening import open_job
from baycompanion.job.deciding.practising import PRACTICE_MENTOR
from baycompanion.job.events.carried import Practice, Vehicle
from baycompanion.job.events.event import Event
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.state import State
from baycompanion.learning.practice.honest import truthful
from baycompanion.learning.practice.made_past import make_past
from baycompanion.learning.practice.made_up import MadeUpVehicle, make_vehicle
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Wait

Way = Callable[[MadeUpVehicle, Procedure, State], tuple[Action, Person] | None]

START = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


@dataclass(repr=False)
class PracticeBay:
    """A practice of N1 that was just opened, and the way to act on it."""

    procedure: Procedure = SMALL
    seed: int = 1
    faults: int = 0
    now: datetime = START
    events: list[Event] = field(default_factory=list)
    state: State = field(init=False)
    made: MadeUpVehicle = field(init=False)

    def __post_init__(self) -> None:
        vehicle = Vehicle(description="Made-up van")
        practice = Practice(seed=self.seed, faults=self.faults)
        self.made = make_vehicle(self.procedure, self.seed, self.faults)
        mentor = PRACTICE_MENTOR
        self.events = [
            open_job(
                self.procedure,
                "ab" * 32,
                "practice-1",
                keys_in(
                    "Practice",
                    vehicle,
                    N1,
                    self.now,
                    mentor=mentor,
                    practice=practice,
                    earlier=make_past(self.procedure, self.made, self.now),
                ),
            )
        ]
        self.state = fold_all(self.events)

    def decide(self, action: Action, who: Person = N1, after: float = 60) -> Decided | Refused:
        """Let `who` act `after` seconds later, and keep what follows."""
        self.now += timedelta(seconds=after)
        decided = decide(self.procedure, self.state, action, who, self.now)
        if isinstance(decided, Decided):
            self.events.extend(decided.events)
            self.state = decided.state
        return decided

    def do(self, *actions: Action, who: Person = N1) -> list[Event]:
        """Carry out `actions`, none of which may be refused; return the events of the last."""
        events: list[Event] = []
        for action in actions:
            decided = self.decide(action, who)
            assert isinstance(decided, Decided), f"{action!r} was refused: {decided}"
            events = list(decided.events)
        return events

    def walk(self, way: Way | None = None, to: str = "") -> "PracticeBay":
        """Walk on until the step `to` is in hand, or to the end, honestly or by another `way`."""
        for _ in range(2500):
            done = (way or truthful)(self.made, self.procedure, self.state)
            if done is None or (to and self.state.current == to):
                return self
            action, who = done
            self.let_run_out(action)
            self.do(action, who=who)
        raise AssertionError(f"no end, {self.state.current} in hand")

    def let_run_out(self, action: Action) -> None:
        """Let time pass where `action` ends a wait."""
        if isinstance(action, Answer) and isinstance(self.procedure.steps[action.answer], Wait):
            self.now += timedelta(hours=2)

    def refused(self, action: Action, who: Person = N1) -> Refused:
        """Try `action`, which must be refused; return the refusal."""
        decided = self.decide(action, who)
        assert isinstance(decided, Refused), f"{action!r} was not refused"
        return decided
