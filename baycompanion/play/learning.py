"""Playing what somebody has learnt: sittings of a drill, and a practice walked honestly."""

from datetime import datetime, timedelta
from typing import Annotated

from pydantic import Field

from baycompanion.job.deciding.draft import Person
from baycompanion.learning.drill.question import judge
from baycompanion.learning.practice.made_up import make_vehicle
from baycompanion.procedure.fields import Id
from baycompanion.procedure.load import Loaded
from baycompanion.store.durable import made_again_at_will
from baycompanion.store.practice import make_practice, open_practice
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.staff.staff import StaffId
from baycompanion.text.to_model import Written, to_model
from baycompanion.text.yaml_nodes import read_yaml
from baycompanion.working.drilling import Sitting, Wish, sit_down
from baycompanion.working.practice.clock import PracticeClock
from baycompanion.working.practice.honest_walk import walk_honestly

PACE = timedelta(seconds=20)
"""How long a question takes. Invented, like all of the demo."""

DaysAgo = Annotated[int, Field(ge=1, le=365)]


class Drilled(Written):
    """One sitting of a drill."""

    days_ago: DaysAgo
    wrong: tuple[Annotated[int, Field(ge=1)], ...] = ()
    """The questions that were answered wrong at first, counted from 1."""


class Practised(Written):
    """One practice, walked to its end by somebody who looks at everything."""

    days_ago: DaysAgo
    seed: Annotated[int, Field(ge=0, le=999_999_999)]
    faults: Annotated[int, Field(ge=0, le=20)]


class Learnt(Written):
    """What one person has learnt of one procedure."""

    learner: StaffId
    procedure: Id
    drills: tuple[Drilled, ...] = ()
    practice: Practised | None = None


def play_learning(text: str, file: str, shop: Shop, now: datetime) -> None:
    """Play what is written in `text` into `shop`, in the days before `now`; `file` names it.

    Raises:
        BadFile: The text or the procedure has errors.
        StoreTrouble: The learner is not on the staff, or a file cannot be read or written.
    """
    learnt = to_model(Learnt, read_yaml(text, file))
    who = shop.person(learnt.learner)
    loaded = read_procedure(find_procedure(learnt.procedure, shop.procedures))
    with made_again_at_will():
        for drilled in learnt.drills:
            _drill(shop, who, learnt.procedure, drilled, now)
        if learnt.practice is not None:
            _practise(shop, who, loaded, learnt.practice, now)


def _drill(shop: Shop, who: Person, procedure: str, drilled: Drilled, now: datetime) -> None:
    """Answer what is due on that day, and what comes in new."""
    clock = _Clock(now - timedelta(days=drilled.days_ago))
    sitting = sit_down(shop, who, procedure, Wish(), clock)
    while sitting.question is not None:
        wrong = sitting.number in drilled.wrong and not sitting.comes_again
        sitting.answer(_wrong_answer(sitting) if wrong else sitting.question.accepted[0])
        clock.at += PACE
        sitting.go_on()


def _wrong_answer(sitting: Sitting) -> tuple[str, ...]:
    """Return an answer to the question in hand that is not right."""
    assert sitting.question is not None
    names = [option.name for option in sitting.question.options]
    in_order = sitting.wanted > 1
    ways = [tuple(names), tuple(reversed(names))] if in_order else [(name,) for name in names]
    return next(way for way in ways if not judge(sitting.question, way).right)


def _practise(shop: Shop, who: Person, loaded: Loaded, practised: Practised, now: datetime) -> None:
    start = now - timedelta(days=practised.days_ago)
    folder = make_practice(shop, loaded, who, start, practised.seed, practised.faults)
    clock = PracticeClock(lambda: start, start)
    job = open_practice(folder, who, start)
    made = make_vehicle(loaded.procedure, practised.seed, practised.faults)
    try:
        walk_honestly(job, made, clock, lambda: job.ended)
    finally:
        job.leave()


class _Clock:
    """A clock that is set by hand."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def __call__(self) -> datetime:
        return self.at
