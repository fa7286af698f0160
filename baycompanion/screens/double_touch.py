"""The second touch of a double one is dropped: it would answer what the first only just brought."""

from textual.events import MouseDown, MouseUp
from textual.geometry import Offset
from textual.screen import Screen

PAUSE = 0.75
"""Seconds without a touch after which the next one is a new one. Own choice, from memory: longer
than any desktop waits for the second click of a double one (500 ms at most by their defaults);
shorter than it takes to read a step."""

NEAR = Offset(3, 1)
"""Columns and rows by which a finger that comes down again in the same place may miss it."""


class DoubleTouch:
    """Tells a touch that somebody meant from the second one of a double touch, or the third."""

    def __init__(self) -> None:
        """Begin before any touch."""
        self._last = -PAUSE
        """When a finger came down last, by the clock of the events."""
        self._at = Offset()
        self._first: tuple[Screen[object] | None, object] = (None, None)
        """What was in front when the first touch of this row of them came."""
        self._dropped = False

    def drops(self, event: MouseDown | MouseUp, screen: Screen[object]) -> bool:
        """Return whether `event` is to do nothing on `screen`, which is in front now.

        What a screen shows for one answer alone it names by its `topic`, where it has one.
        """
        if isinstance(event, MouseUp):
            return self._dropped  # with the touch that it ends
        at = Offset(event.x, event.y)
        again = event.time - self._last < PAUSE and _near(at, self._at)
        in_front = (screen, getattr(screen, "topic", None))
        if not again:
            self._first = in_front
        self._last, self._at = event.time, at
        self._dropped = again and in_front != self._first
        return self._dropped

    def came_on(self, screen: object) -> bool:
        """Return whether the first touch of the row came on `screen`, too."""
        return self._first[0] is screen


def _near(one: Offset, other: Offset) -> bool:
    return abs(one.x - other.x) <= NEAR.x and abs(one.y - other.y) <= NEAR.y
