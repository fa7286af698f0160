"""The order of parts that a job is held against, read from its file."""

from pathlib import Path

from baycompanion.job.carried import PartsOrdered
from baycompanion.job.parts_order import read_order
from baycompanion.store.reading import read_text
from baycompanion.store.trouble import StoreTrouble


def order_at(typed: str) -> PartsOrdered | None:
    """Return the order in the file at the path `typed`, None where nothing is typed.

    Raises:
        StoreTrouble: The file cannot be read.
        BadFile: It does not say what it should.
    """
    path = typed.strip().strip("'\"")
    if not path:
        return None
    try:
        return order_in(Path(path).expanduser())
    except RuntimeError:  # of expanduser
        raise StoreTrouble(f"There is no home folder for {path[:60]}. Type it out.") from None


def order_in(path: Path) -> PartsOrdered:
    """Return the order in the file at `path`.

    Raises:
        StoreTrouble: The file cannot be read.
        BadFile: It does not say what it should.
    """
    return read_order(read_text(path), str(path))
