"""A lock of the system on a file: taken, or one sentence why not.

On a disk of the network that has no locks of its own, the library keeps a file with host and
process in place of one. It takes that of a process that has died on this machine, but cannot know
whether one on another machine has.
"""

import errno
import warnings
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.store.trouble import StoreTrouble, because

if TYPE_CHECKING:
    from filelock import FileLock

# The library tells a terminal, in the middle of a screen, what is done about a disk without locks.
warnings.filterwarnings("ignore", message="flock not supported", category=UserWarning)

KNOWS_NONE = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP}
"""How a disk says that it has no locks."""


def take_lock(path: Path, patience: float, whose: Path) -> "FileLock | None":
    """Return the lock on the file at `path`, or None where another process holds it.

    Args:
        path: The file that is locked; it is made.
        patience: Seconds for which another holder is waited for.
        whose: What the lock is for, as a person knows it.

    Raises:
        StoreTrouble: It cannot be locked, or its disk knows no locks.
    """
    from filelock import FileLock, Timeout  # 10 ms, and a list of jobs needs no lock

    lock = FileLock(path, timeout=patience)
    try:
        lock.acquire()
    except Timeout:
        return None
    except OSError as error:
        if error.errno in KNOWS_NONE:
            raise StoreTrouble(_knows_none(whose)) from None
        raise StoreTrouble(f"{whose} cannot be locked: {because(error)}.") from None
    except NotImplementedError:
        raise StoreTrouble(_knows_none(whose)) from None
    return lock


def _knows_none(whose: Path) -> str:
    return f"The disk of {whose} knows no locks. Use another disk."
