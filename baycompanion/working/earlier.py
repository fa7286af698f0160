"""The earlier job of a new one, from its name or its folder as it was typed or dropped."""

from baycompanion.job.events.carried import EarlierJob, Vehicle
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
