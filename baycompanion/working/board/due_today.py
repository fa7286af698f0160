"""Who has questions due today: those who work here, in the order of the staff file."""

from collections.abc import Mapping
from datetime import datetime

from baycompanion.store.recalls import due_counts
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble


def due_today(shop: Shop, now: datetime) -> Mapping[str, int]:
    """Return how many questions are due `now` for each of the staff who has any, by id.

    A log that cannot be read counts as none here; whoever is drilled is told of it.
    """
    try:
        counts = {name.casefold(): due for name, due in due_counts(shop.folder, now).items()}
    except StoreTrouble:
        return {}
    return {who: counts[who.casefold()] for who in shop.staff if who.casefold() in counts}
