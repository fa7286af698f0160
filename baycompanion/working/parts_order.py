"""The order of parts of a new job, from the path of its file as it was typed or dropped."""

from baycompanion.job.events.carried import PartsOrdered
from baycompanion.store.job.parts_orders import order_in
from baycompanion.working.dropped import dropped_path


def order_at(typed: str) -> PartsOrdered | None:
    """Return the order in the file at the path `typed`, None where nothing is typed.

    Raises:
        StoreTrouble: The path leads nowhere, or the file cannot be read.
        BadFile: It does not say what it should.
    """
    if not typed.strip():
        return None
    return order_in(dropped_path(typed))
