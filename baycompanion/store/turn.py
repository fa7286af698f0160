"""One at a time at a small file of the shop: whoever comes second waits for the turn."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from baycompanion.store.trouble import StoreTrouble, because

PATIENCE = 10
"""Seconds that a turn is waited for; each takes well below one."""


@contextlib.contextmanager
def turn(path: Path) -> Iterator[None]:
    """Hold the turn at the file `path` meanwhile, against every process that asks for it.

    The system gives the turn on when its holder dies.

    Raises:
        StoreTrouble: The turn does not come, or the disk knows no locks.
    """
    lock = FileLock(path.with_name(f".{path.name}.lock"), timeout=PATIENCE)
    try:
        lock.acquire()
    except Timeout:
        raise StoreTrouble(f"{path} is in use in another window. Try once more.") from None
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be locked: {because(error)}.") from None
    except NotImplementedError:
        raise StoreTrouble(f"The disk of {path} knows no locks. Use another disk.") from None
    try:
        yield
    finally:
        lock.release()
