"""One phase practised alone: the vehicle is drawn until its faults lie there."""

from itertools import count

import pytest
from bay import SMALL, SMALL_TEXT

from baycompanion.learning.practice.vehicle import make_vehicle
from baycompanion.procedure.load import load_procedure
from baycompanion.store.trouble import StoreTrouble
from baycompanion.working.practice.one_phase import MOST_SEEDS, seed_for

FAULT_PHASES = ("make-safe", "bench", "refit")


@pytest.mark.parametrize("phase", FAULT_PHASES)
@pytest.mark.parametrize("faults", [1, 2])
def test_the_faults_lie_in_the_phase(phase: str, faults: int) -> None:
    seed = seed_for(SMALL, phase, faults, count(1).__next__)
    planted = make_vehicle(SMALL, seed, faults).planted
    there = [each for each in planted if SMALL.phase_of[each.steps[0]].phase == phase]
    room = 1 if phase == "make-safe" else faults
    assert len(there) == room


def test_where_no_fault_has_room_the_first_vehicle_will_do() -> None:
    drawn = count(1)
    assert seed_for(SMALL, "keys-back", 2, drawn.__next__) == 1
    assert next(drawn) == 2


def test_without_faults_the_first_vehicle_will_do() -> None:
    assert seed_for(SMALL, "bench", 0, count(7).__next__) == 7


def test_a_vehicle_that_has_the_phase_is_drawn() -> None:
    text = SMALL_TEXT.replace("  - phase: bench\n", "  - phase: bench\n    when: {camera: front}\n")
    assert text != SMALL_TEXT
    procedure = load_procedure(text, "small-receiver.yaml").procedure
    seed = seed_for(procedure, "bench", 0, count(1).__next__)
    assert make_vehicle(procedure, seed, 0).facts["camera"] == "front"


def test_a_phase_that_no_vehicle_has_is_one_sentence() -> None:
    text = SMALL_TEXT.replace(
        "  - phase: bench\n", "  - phase: bench\n    when: {camera: front, amplifier: yes}\n"
    )
    procedure = load_procedure(text, "small-receiver.yaml").procedure
    never = next(n for n in count(1) if make_vehicle(procedure, n, 0).facts["amplifier"] == "no")
    asked: list[int] = []

    def seeds() -> int:
        asked.append(never)
        return never

    with pytest.raises(StoreTrouble, match="No made-up vehicle has the phase bench"):
        seed_for(procedure, "bench", 1, seeds)
    assert len(asked) == MOST_SEEDS
