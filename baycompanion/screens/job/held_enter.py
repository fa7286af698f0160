"""Enter answers one step: the presses that a keyboard repeats by itself are told from new ones."""

from collections.abc import Callable
from datetime import datetime, timedelta

PAUSE = timedelta(milliseconds=750)
"""Without an Enter for so long, the next one is a new press. Own choice, from memory: longer than
most desktops wait before the first repeat (250 to 660 ms), let alone between repeats; shorter
than it takes to read a step."""


class HeldEnter:
    """Notices an Enter that would answer a step which the Enter before it has only just brought."""

    def __init__(self, now: Callable[[], datetime]) -> None:
        """Tell the time between keys by the clock `now`."""
        self._now = now
        self._last: datetime | None = None
        """When Enter came last, if it was the last key."""
        self._new_card = False

    def repeats(self, key: str) -> bool:
        """Take note of `key`; return whether it is an Enter that nobody pressed for this card."""
        if key != "enter":
            self._last = None
            return False
        last, self._last = self._last, self._now()
        if last is None or not timedelta(0) <= self._last - last < PAUSE:
            self._new_card = False
        return self._new_card

    def card_came(self) -> None:
        """Take note of a new card; if Enter brought it, the pause begins now that it is shown."""
        self._new_card = True
        if self._last is not None:
            self._last = self._now()
