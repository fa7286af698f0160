"""The order of parts that a job is held against, read from its file."""

from pathlib import Path

from baycompanion.job.events.carried import PartsOrdered
from baycompanion.job.state.parts_order import read_order
from baycompanion.store.reading import read_text


def order_in(path: Path) -> PartsOrdered:
    """Return the order in the file at `path`.

    Raises:
        StoreTrouble: The file cannot be read.
        BadFile: It does not say what it should.
    """
    return read_order(read_text(path), str(path))
