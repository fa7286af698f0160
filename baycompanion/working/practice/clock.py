"""The clock of a practice: it goes with the wall clock, and ahead of it where a wait runs out."""

from collections.abc import Callable
from datetime import datetime, timedelta

from baycompanion.job.events.moment import later


class PracticeClock:
    """Tells the time of one practice, which never runs backwards."""

    def __init__(self, now: Callable[[], datetime], last: datetime) -> None:
        """Go on from `last`, the newest event of the practice, where `now` is behind it."""
        self._now = now
        self._ahead = max(timedelta(), last - now())

    def __call__(self) -> datetime:
        """Return the moment it is in the practice."""
        return later(self._now(), self._ahead.total_seconds())

    def go_ahead(self, seconds: int) -> None:
        """Let so many seconds pass at once."""
        self._ahead += timedelta(seconds=seconds)
