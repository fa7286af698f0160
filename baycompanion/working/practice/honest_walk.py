"""The honest way through a practice, walked by the program: with a look at everything."""

from collections.abc import Callable

from baycompanion.job.actions import Answer, TickLine
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.practice_actions import LookAt
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.learning.practice.vehicle import truthful
from baycompanion.procedure.steps import Check, Count, Inspect, Measure, Step, Wait
from baycompanion.store.durable import made_again_at_will
from baycompanion.store.job.open_job import OpenJob
from baycompanion.views.card.waiting import seconds_left
from baycompanion.working.practice.clock import PracticeClock

FOUND_BY_LOOKING = (Check, Measure, Count, Inspect)
"""Steps that are answered by a look at the vehicle."""

MOST_ACTIONS = 5000
"""Honest actions after which something leads in circles. Own choice."""


def walk_honestly(
    job: OpenJob, made: MadeUpVehicle, clock: PracticeClock, arrived: Callable[[], bool]
) -> bool:
    """Do the honest thing again and again until it has `arrived`; return whether it has.

    Raises:
        StoreTrouble: The disk refuses.
    """
    with made_again_at_will():
        for _ in range(MOST_ACTIONS):
            if arrived():
                return True
            if not _act_honestly(job, made, clock):
                return False
    return False


def _act_honestly(job: OpenJob, made: MadeUpVehicle, clock: PracticeClock) -> bool:
    """Do the one honest thing now; return whether there was one."""
    done = truthful(made, job.procedure, job.state)
    if done is None:
        return False
    action, who = done
    step = job.procedure.steps.get(job.state.current or "")
    if isinstance(action, Answer | TickLine) and step is not None:
        _look_or_wait(job, step, clock)
    return not isinstance(job.act(action, who, clock()), Refused)


def _look_or_wait(job: OpenJob, step: Step, clock: PracticeClock) -> None:
    if isinstance(step, Wait):
        clock.go_ahead(seconds_left(job.state, step, clock()) or 0)
    elif isinstance(step, FOUND_BY_LOOKING) and not job.state.track(step.id).ticks:
        job.act(LookAt(look_at=step.id), whoever(job), clock())


def whoever(job: OpenJob) -> Person:
    """Return whoever practises."""
    return Person(job.state.technician, job.state.opened.role)
