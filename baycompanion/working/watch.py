"""A watch that runs while a question waits for its answer, and notices that the laptop slept."""

import contextlib
import threading
from collections.abc import Callable, Iterator
from datetime import datetime

from baycompanion.store.job.open_job import UNNOTICED

EVERY = 1.0
"""Seconds between two looks at the clock."""


class Watch:
    """Adds up the time that passed between two looks at the clock where none should have."""

    def __init__(self, now: Callable[[], datetime]) -> None:
        """Look at the clock `now` for the first time."""
        self._now = now
        self._at = now()
        self._asleep = 0
        self._looking = threading.Lock()

    def look(self) -> int:
        """Look at the clock; return the seconds slept that nobody has accounted for yet."""
        with self._looking:
            at = self._now()
            passed = int((at - self._at).total_seconds())
            if passed > UNNOTICED:
                self._asleep += passed
            self._at = at
            return self._asleep

    def forget(self) -> None:
        """Count the seconds slept as accounted for."""
        with self._looking:
            self._asleep = 0

    @contextlib.contextmanager
    def running(self) -> Iterator[None]:
        """Look at the clock every second, in a thread of its own, while the block runs."""
        done = threading.Event()

        def run() -> None:
            while not done.wait(EVERY):
                self.look()

        thread = threading.Thread(target=run, daemon=True)
        thread.start()
        try:
            yield
        finally:
            done.set()
            thread.join()
