"""What a trainee's mentor sees in the shipped procedures, and what waits for them."""

from dataclasses import replace
from pathlib import Path

import pytest
from bay import Bay

from baycompanion.job.state.gates import missing
from baycompanion.job.state.order import step_applies
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Witness
from baycompanion.store.shelf import find_procedure, read_procedure

SEEN = {
    "receiver-swap": {"safe-seen", "first-power-seen", "condition-seen"},
    "dash-camera-hardwire": {"taps-seen", "condition-seen"},
    "key-off-draw-hunt": {"feed-seen", "condition-seen"},
    "amplifier-and-subwoofer": {"safe-seen", "fuse-seen", "condition-seen"},
    "door-speakers": {"safe-seen", "condition-seen"},
    "rear-camera": {"safe-seen", "condition-seen"},
}
"""Battery and airbags, first power, cuts into the harness, the last sheet. Own choice."""


def shipped(name: str) -> Procedure:
    return read_procedure(find_procedure(name, Path("nowhere"))).procedure


def mentors(procedure: Procedure) -> dict[str, Witness]:
    steps = procedure.steps.items()
    return {name: step for name, step in steps if isinstance(step, Witness) and step.by_mentor}


@pytest.mark.parametrize("name", SEEN)
def test_these_steps_are_the_mentor_s_and_say_why(name: str) -> None:
    found = mentors(shipped(name))
    assert set(found) == SEEN[name]
    assert all(step.why for step in found.values())


@pytest.mark.parametrize("name", SEEN)
def test_they_are_steps_of_a_trainee_s_job_alone(name: str) -> None:
    procedure = shipped(name)
    alone = Bay(procedure).state
    beside = replace(alone, mentor="T2")
    for step in mentors(procedure).values():
        assert not step_applies(procedure, alone, step)
        assert step_applies(procedure, beside, step)


@pytest.mark.parametrize("name", SEEN)
def test_a_gate_waits_for_each_of_them_where_a_trainee_works_and_nowhere_else(name: str) -> None:
    procedure = shipped(name)
    alone = Bay(procedure).state
    for state, waited in ((alone, set[str]()), (replace(alone, mentor="T2"), SEEN[name])):
        found = {
            thing.step
            for gate in procedure.all_gates.values()
            for thing in missing(procedure, state, gate)
        }
        assert found & SEEN[name] == waited
