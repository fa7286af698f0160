"""The earlier job of a new one, from its name or its folder as it was typed or dropped."""

from baycompanion.job.events.carried import EarlierJob, Vehicle
from baycompanion.job.state.sought import differs
from baycompanion.store.job.earlier import find_earlier
from baycompanion.store.shop import Shop
from baycompanion.working.dropped import dropped_path


def earlier_at(shop: Shop, typed: str, vehicle: Vehicle) -> EarlierJob | None:
    """Return the earlier job that `typed` names, None where nothing is typed.

    Raises:
        StoreTrouble: There is none, it is under way, on another vehicle, or cannot be trusted.
        BadFile: The procedure that it followed cannot be read any more.
    """
    name = typed.strip()
    if not name:
        return None
    return find_earlier(shop.jobs, name, dropped_path(name), vehicle)


def known_from(earlier: EarlierJob | None, vehicle: Vehicle) -> Vehicle:
    """Return `vehicle` with the plate and the VIN of the earlier job, where it has none itself.

    One that has another plate than that job may be another vehicle, and takes nothing over.
    """
    if earlier is None or differs(vehicle.plate, earlier.vehicle.plate):
        return vehicle
    before = earlier.vehicle
    return vehicle.model_copy(
        update={"plate": vehicle.plate or before.plate, "vin": vehicle.vin or before.vin}
    )
