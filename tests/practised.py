"""A shop in which the small procedure is practised, and two people who practise: well and badly."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from bay import GOOD, N1, SMALL, SMALL_TEXT, load_small
from listener import Clock

from baycompanion.job.actions import Accept, Action, AddPhoto, Close
from baycompanion.job.events.event import Event
from baycompanion.job.practice_actions import SayNext
from baycompanion.job.state.order import next_step
from baycompanion.learning.practice.vehicle import make_vehicle, truthful
from baycompanion.procedure.steps import Witness
from baycompanion.store.practice import make_practice
from baycompanion.store.shop import Shop, open_shop
from baycompanion.views.card.card import Aside, Card, Deed
from baycompanion.working.practice.practising import AtPractice

STAFF = """\
staff:
  - {id: T1, role: technician}
  - {id: N1, role: trainee, pin: "%s"}
  - {id: S1, role: supervisor}
"""

MOST = 2000
"""Cards after which a walk leads in circles."""


def practice_shop(folder: Path) -> Shop:
    """Return a shop whose trainee has a PIN, with the small procedure on its shelf."""
    from baycompanion.store.staff.pins import hash_pin

    folder.mkdir(parents=True)
    (folder / "staff.yaml").write_text(STAFF % hash_pin("4711"), encoding="utf-8")
    shop = open_shop(folder)
    (shop.procedures / "small-receiver.yaml").write_text(SMALL_TEXT, encoding="utf-8")
    return shop


def seed_with(step: str) -> int:
    """Return a seed that plants one fault in the small procedure, and at `step` alone."""
    for seed in range(1, 500):
        [planted] = make_vehicle(SMALL, seed, 1).planted
        if planted.steps == (step,):
            return seed
    raise AssertionError(f"no seed plants a fault at {step} alone")


@dataclass
class Practised:
    """One practice of N1, and the ways to walk it."""

    shop: Shop
    seed: int = 1
    faults: int = 0
    phase: str | None = None
    clock: Clock = field(default_factory=Clock)
    folder: Path = field(init=False)
    work: AtPractice = field(init=False)

    def __post_init__(self) -> None:
        self.folder = make_practice(
            self.shop, load_small(), N1, self.clock(), self.seed, self.faults, self.phase
        )
        self.work = self.opened()

    def opened(self) -> AtPractice:
        """Return the practice, open."""
        return AtPractice(self.shop, self.folder, self.clock)

    def leave(self) -> None:
        """Let others open the practice."""
        self.work.job.leave()

    def open_again(self) -> AtPractice:
        """Leave the practice, and come back to it."""
        self.leave()
        self.work = self.opened()
        return self.work

    def do(self, deed: Deed) -> None:
        """Carry `deed` out, which nothing may refuse."""
        self.clock.move(30)
        why_not = self.work.carry_out(deed)
        assert why_not is None, why_not

    def press(self, key: str) -> None:
        """Press a key of the card, which must be a deed or something done aside."""
        [does] = [each.does for each in self.work.card.keys if each.key == key]
        if isinstance(does, Aside):
            does.do()
        else:
            assert isinstance(does, Deed), does
            self.do(does)

    def say_next(self, step: str | None = None) -> None:
        """Say what comes next: `step`, or without it the right one; and hear what is told."""
        due = next_step(self.work.job.procedure, self.work.job.state)
        assert due is not None and self.work.card.kind == "next", self.work.card
        self.do(Deed(SayNext(say_next=step or due.id)))

    def pass_by(self) -> bool:
        """Answer what practice asks besides a job; return whether there was any of it."""
        card = self.work.card
        if card.kind == "next":
            self.say_next()
        elif card.kind == "told" or _is_a_wait(card):
            self.press(next(key.key for key in card.keys if key.enter))
        else:
            return False
        return True

    def walk(self, answer: "Callable[[Practised], None]", to: str | None = None) -> None:
        """Walk on until the step `to` is in hand, or to the end; `answer` does what a job asks."""
        for _ in range(MOST):
            state = self.work.job.state
            if self.work.job.ended or (to is not None and state.current == to):
                return
            if not self.pass_by():
                answer(self)
        raise AssertionError(f"no end: {self.work.card}")

    def events(self, kind: type) -> list[Event]:
        """Return the events of one kind."""
        return [event for event in self.work.job.events if isinstance(event.data, kind)]


def carefully(practised: Practised) -> None:
    """Look first, then say what is there."""
    work = practised.work
    look = work.look
    if isinstance(look, Deed) and work.card.kind == "step":
        practised.do(look)
    made = make_vehicle(work.job.procedure, practised.seed, practised.faults)
    done = truthful(made, work.job.procedure, work.job.state)
    assert done is not None, work.card
    practised.do(Deed(done[0], done[1].id))


def carelessly(practised: Practised) -> None:
    """Answer everything as it should be, without a look."""
    state = practised.work.job.state
    if state.accepted_at is None:
        practised.do(Deed(Accept(accept="hazards")))
    elif state.current is None:
        practised.do(Deed(Close(close="keys back")))
    elif isinstance(practised.work.job.procedure.steps[state.current], Witness):
        practised.press("1")
    else:
        for action in answers(state.current):
            while practised.work.card.kind != "caution" and practised.pass_by():
                pass
            practised.do(Deed(action))


def answers(step: str) -> list[Action]:
    """Return what finishes `step` well, without a photo."""
    return [action for action in GOOD[step] if not isinstance(action, AddPhoto)]


def _is_a_wait(card: Card) -> bool:
    return any(key.label == "Let the time run out" for key in card.keys)
