"""One phase practised alone: what lies before it is done by the program; it ends with it."""

from collections.abc import Callable
from datetime import datetime

from baycompanion.job.actions import Abandon
from baycompanion.job.state.order import next_step, steps_that_apply
from baycompanion.learning.practice.made_up import MadeUpVehicle, make_vehicle
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import applies
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.trouble import StoreTrouble
from baycompanion.working.practice.clock import PracticeClock
from baycompanion.working.practice.honest_walk import walk_honestly, whoever

MOST_FAULTS = 1000
"""More than a procedure has room for: all that could be planted."""

MOST_SEEDS = 200
"""Seeds tried for a vehicle whose faults lie in the phase. Own choice."""


def come_to(phase: str, job: OpenJob, made: MadeUpVehicle, clock: PracticeClock) -> None:
    """Do honestly what lies before `phase`, unless it was come to before.

    Raises:
        StoreTrouble: The phase is not reached on this vehicle, or the disk refuses.
    """
    if not walk_honestly(job, made, clock, lambda: job.ended or phase in job.state.phases):
        title = job.procedure.phase_named[phase].title
        raise StoreTrouble(
            f"“{title}” is not reached on this vehicle. Practise it with another seed."
        )


def end_after(phase: str, job: OpenJob, when: datetime) -> None:
    """End the practice of `phase` alone once its last step is finished and others would follow.

    Raises:
        StoreTrouble: The disk refuses.
    """
    state, procedure = job.state, job.procedure
    following = next_step(procedure, state)
    if job.ended or state.status != "open" or phase not in state.phases or following is None:
        return
    steps = [
        step
        for step in steps_that_apply(procedure, state)
        if procedure.phase_of[step.id].phase == phase
    ]
    last = max((procedure.number[step.id] for step in steps), default=0)
    if procedure.number[following.id] > last:
        title = procedure.phase_named[phase].title
        job.act(Abandon(abandon=f"“{title}” was practised alone, to its end."), whoever(job), when)


def seed_for(procedure: Procedure, phase: str, faults: int, seeds: Callable[[], int]) -> int:
    """Return a seed whose vehicle has `phase`, with as many of its `faults` there as can be found.

    Raises:
        StoreTrouble: No vehicle tried has the phase.
    """
    best, most = None, -1
    for _ in range(MOST_SEEDS):
        seed = seeds()
        made = make_vehicle(procedure, seed, faults)
        if not has_phase(procedure, made, phase):
            continue
        if best is None:  # where few faults have room in the phase, no more of them are looked for
            faults_there = _faults_in(procedure, make_vehicle(procedure, seed, MOST_FAULTS), phase)
            wanted = min(faults, faults_there)
        there = _faults_in(procedure, made, phase)
        if there > most:
            best, most = seed, there
        if most >= wanted:
            return seed
    if best is None:
        raise StoreTrouble(f"No made-up vehicle has the phase {phase}. Practise another one.")
    return best


def _faults_in(procedure: Procedure, made: MadeUpVehicle, phase: str) -> int:
    """Return how many planted faults can be caught in `phase` and not before it."""
    return sum(procedure.phase_of[each.steps[0]].phase == phase for each in made.planted)


def has_phase(procedure: Procedure, made: MadeUpVehicle, phase: str) -> bool:
    """Return whether `phase` belongs to the job on this vehicle."""
    return applies(procedure.phase_named[phase], made.facts)
