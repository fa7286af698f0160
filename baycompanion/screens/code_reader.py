"""What a reader of codes types where no field stands is told from keys that a person presses.

A reader sends its characters a few milliseconds apart, and Enter after them. Nothing but that pace
tells the first digit of a code from the key of an answer, so a printable key waits for a moment in
which the next one would have come. Nobody sees that moment, and no other key waits at all.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from textual.events import Key

from baycompanion.screens.line_field import ENDS_LINE

PACE = 0.05
"""Seconds within which the next character of a reader comes. From memory: readers send every 1 to
20 ms, a fast typist every 100 ms, and a held key waits 250 ms before it repeats."""
TAIL = 0.5
"""Seconds in which the Enter of a code may still come, once it can be nothing else. Own choice."""
LEAST = 4
"""Characters at that pace that nobody presses one by one. Own choice: a code of fewer counts as
keys, and two fingers may well hit two keys at once."""
MOST_ALIKE = 8
"""A key held down repeats itself as fast as a reader types; no code begins with so many alike."""


@dataclass(slots=True)
class CodeReader:
    """Holds printable keys back until it is known what they are."""

    _held: list[Key] = field(default_factory=list)

    def hold(self, key: Key) -> None:
        """Hold `key` back; it may belong to a code."""
        self._held.append(key)

    def ends(self, key: Key) -> bool:
        """Return whether `key` is the end of a code that is held."""
        return self.reads and key.key in (*ENDS_LINE, "tab")

    @property
    def reads(self) -> bool:
        """Whether what is held is a code, and no keys."""
        return len(self._held) >= LEAST and not self._alike

    @property
    def repeats(self) -> bool:
        """Whether what is held is one key that is held down."""
        return self._alike and len(self._held) >= MOST_ALIKE

    def last_is(self, key: Key) -> bool:
        """Return whether `key` is held, and none has come after it."""
        return bool(self._held) and self._held[-1] is key

    @property
    def wait(self) -> float:
        """Seconds without a key after which what is held is whole."""
        return TAIL if self.reads else PACE

    def give(self) -> tuple[str, Sequence[Key]]:
        """Return the code that was held, or else its keys; nothing is held after it."""
        code = "".join(key.character or "" for key in self._held) if self.reads else ""
        keys = () if code else tuple(self._held)
        self._held.clear()
        return code, keys

    @property
    def _alike(self) -> bool:
        return len({key.key for key in self._held}) <= 1
