"""The earlier job that a vehicle comes back from, read from its folder with all that is checked."""

from pathlib import Path

from baycompanion.job.events.carried import EarlierJob, Vehicle
from baycompanion.job.record.earlier import earlier_job
from baycompanion.job.state.sought import differs
from baycompanion.store.job.finding import find_ended_job
from baycompanion.store.job.folder import read_job, record_of
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import leads_to_folder
from baycompanion.text.problem import quoted


def earlier_in(folder: Path, vehicle: Vehicle) -> EarlierJob:
    """Return what a job on `vehicle` keeps of the earlier one in `folder`.

    Raises:
        StoreTrouble: It has not ended, was on another vehicle, or its journal cannot be trusted.
        BadFile: The procedure that it followed cannot be read any more.
    """
    try:
        earlier = earlier_job(record_of(read_job(folder)))
    except ValueError as wrong:
        raise StoreTrouble(f"{wrong}. End it first, or start without an earlier job.") from None
    if differs(then := earlier.vehicle.vin, vehicle.vin):
        raise StoreTrouble(
            f"The job {earlier.job} was on another vehicle, VIN {quoted(then)}. "
            "Correct the VIN, or begin again from the job of this vehicle."
        )
    return earlier


def find_earlier(jobs: Path, typed: str, folder: Path, vehicle: Vehicle) -> EarlierJob:
    """Return the earlier job in `folder`, where `typed` would lead, or the one in `jobs` it fits.

    Raises:
        StoreTrouble, BadFile: As `earlier_in`; or no job fits, or more than one.
    """
    found = folder if leads_to_folder(folder) else find_ended_job(jobs, typed)
    return earlier_in(found, vehicle)
