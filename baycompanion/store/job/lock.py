"""One writer at a time: the lock on a job's folder, which names who holds it."""

import contextlib
import json
import os
import platform
from pathlib import Path

from baycompanion.store.durable import write_whole
from baycompanion.store.system_lock import take_lock
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line

LOCK = "lock"
HOLDER = "holder.json"


class JobHeld(StoreTrouble):
    """Somebody has the job open elsewhere, and its clock goes on there."""


class JobLock:
    """The right to write in one job's folder; the system frees it when its holder dies."""

    def __init__(self, folder: Path, who: str, at: str) -> None:
        """Take the lock of `folder` for the staff member `who` at the moment `at`.

        Raises:
            JobHeld: Another process holds it; the message names person, host and time.
            StoreTrouble: It cannot be taken here at all.
        """
        self._folder = folder
        if not folder.is_dir():  # the lock would make it
            raise StoreTrouble(f"There is no folder {folder}. Check the name.")
        lock = take_lock(folder / LOCK, 0, folder)
        if lock is None:
            raise JobHeld(_held(folder))
        self._lock = lock
        try:
            self.name(who, at)
        except StoreTrouble:
            self._lock.release()
            raise

    def name(self, who: str, at: str) -> None:
        """Say that the staff member `who` has had the job open since the moment `at`.

        Raises:
            StoreTrouble: It cannot be written; the name before it stands.
        """
        holder = {"by": who, "host": platform.node(), "process": os.getpid(), "at": at}
        write_whole(self._folder / HOLDER, json.dumps(holder).encode())

    def release(self) -> None:
        """Give the right back."""
        with contextlib.suppress(OSError):
            (self._folder / HOLDER).unlink()
        self._lock.release()


def _held(folder: Path) -> str:
    """Return who holds the lock of `folder`, and what to do about it."""
    try:
        holder = json.loads((folder / HOLDER).read_bytes())
        at = str(holder["at"])[:16].replace("T", " ")
        who = clean_line(f"{holder['by']} on {holder['host']} since {at} UTC")
        here = holder["host"] == platform.node()
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        who, here = "another window", True
    # The system frees the lock of a machine that is gone; a disk without locks waits for it.
    crashed = "" if here else " If that machine crashed, open the job there once and leave it."
    close = "Close it there first; here it can only be read."
    return f"This job is open with {who}. {close}{crashed}"
