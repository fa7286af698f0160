"""What is said of a vehicle when it comes in: a slip in its VIN, or another plate than before."""

from baycompanion.job.events.carried import EarlierJob, Vehicle
from baycompanion.job.state.sought import agrees, differs
from baycompanion.views.vin import vin_warning


def vehicle_warning(vehicle: Vehicle, earlier: EarlierJob | None) -> str:
    """Return what warns of `vehicle`, that comes back from the job `earlier`, if from any.

    Empty where there is nothing to look at. The job goes on whatever it says.
    """
    plate = plate_warning(vehicle, earlier) if earlier is not None else ""
    return " ".join(filter(None, (plate, vin_warning(vehicle.vin))))


def plate_warning(vehicle: Vehicle, earlier: EarlierJob) -> str:
    """Return the one sentence that warns of another plate than in the job `earlier`.

    A plate may have changed, and the same VIN says that it has; another VIN is refused before.
    """
    before = earlier.vehicle
    if agrees(vehicle.vin, before.vin) or not differs(vehicle.plate, before.plate):
        return ""
    return (
        f"Warning: the plate is {vehicle.plate}, and in the earlier job {earlier.work_order} it "
        f"was {before.plate}; make sure that it is the same vehicle, or give this job up."
    )
