"""One at a time at a small file of the shop: whoever comes second waits for the turn."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

from baycompanion.store.system_lock import take_lock
from baycompanion.store.trouble import StoreTrouble

PATIENCE = 10
"""Seconds that a turn is waited for; each takes well below one."""


@contextlib.contextmanager
def turn(path: Path) -> Iterator[None]:
    """Hold the turn at the file `path` meanwhile, against every process that asks for it.

    The system gives the turn on when its holder dies.

    Raises:
        StoreTrouble: The turn does not come, or the disk knows no locks.
    """
    lock = take_lock(path.with_name(f".{path.name}.lock"), PATIENCE, path)
    if lock is None:
        raise StoreTrouble(f"{path} is in use in another window. Try once more.")
    try:
        yield
    finally:
        lock.release()
