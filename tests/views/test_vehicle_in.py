"""Another plate than in the earlier job is told, and never holds a job up."""

import pytest
from bay import Bay
from came_back import LOOK_OVER

from baycompanion.job.actions import Abandon
from baycompanion.job.events.carried import EarlierJob, Vehicle
from baycompanion.job.record.earlier import earlier_job
from baycompanion.procedure.load import load_procedure
from baycompanion.views.vehicle_in import plate_warning, vehicle_warning

VIN = "1M8GDM9AXKP042788"
"""A published example; its sources stand beside the tests of the sum."""


def earlier(plate: str, vin: str = "") -> EarlierJob:
    """Return an earlier job on a vehicle with that plate and VIN."""
    bay = Bay(load_procedure(LOOK_OVER, "look-over.yaml").procedure)
    bay.do(Abandon(abandon="the owner left"))
    vehicle = Vehicle(description="van", plate=plate, vin=vin)
    return earlier_job(bay.record()).model_copy(update={"vehicle": vehicle})


def test_another_plate_is_told_with_both() -> None:
    vehicle = Vehicle(description="van", plate="DEMO 2")
    assert plate_warning(vehicle, earlier("DEMO 1")) == (
        "Warning: the plate is DEMO 2, and in the earlier job WO 7 it was DEMO 1; make sure that "
        "it is the same vehicle, or give this job up."
    )


@pytest.mark.parametrize(
    ("plate", "vin", "before", "vin_before"),
    [
        ("DEMO 1", "", "demo-1", ""),
        ("", "", "DEMO 1", ""),
        ("DEMO 1", "", "", ""),
        ("DEMO 2", VIN, "DEMO 1", VIN.lower()),
    ],
)
def test_nothing_is_told_of_the_same_plate_one_not_known_or_the_same_vin(
    plate: str, vin: str, before: str, vin_before: str
) -> None:
    vehicle = Vehicle(description="van", plate=plate, vin=vin)
    assert vehicle_warning(vehicle, earlier(before, vin_before)) == ""


def test_a_slip_in_the_vin_is_told_after_it_and_without_an_earlier_job() -> None:
    vehicle = Vehicle(description="van", plate="DEMO 2", vin="WO-17")
    alone = vehicle_warning(vehicle, None)
    assert alone.startswith("Warning: this VIN has not its 17")
    assert vehicle_warning(vehicle, earlier("DEMO 1")).endswith(f"give this job up. {alone}")
