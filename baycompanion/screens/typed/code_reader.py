"""What a reader of codes types where no field stands is told from keys that a person presses.

A reader sends its characters a few milliseconds apart, and Enter after them. Nothing but that pace
tells the first digit of a code from the key of an answer, so a printable key waits for a moment in
which the next one would have come. Nobody sees that moment, and no other key waits at all, but an
Enter that comes in that very moment: it may end a line of a text that is pasted.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from textual.events import Key

from baycompanion.screens.typed.line_field import ENDS_LINE

PACE = 0.05
"""Seconds within which the next character of a reader comes. From memory: readers send every 1 to
20 ms, a fast typist every 100 ms, and a held key waits 250 ms before it repeats."""
ENDS = (*ENDS_LINE, "tab")
"""What readers send after a code."""
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
    _last: Key | None = None
    """The last key that was held, or that ended a code."""
    _more: bool = False
    """Whether a code was just read, so that what comes at its pace belongs to it: no key of a text
    of several lines is pressed, however short the last of them."""

    def hold(self, key: Key) -> None:
        """Hold `key` back; it may belong to a code."""
        self._held.append(key)
        self._last = key

    def takes(self, key: Key) -> bool:
        """Return whether `key` is to be held: it can be typed, or it ends a line of a burst."""
        return key.is_printable or (bool(self._held) and key.key in ENDS)

    def ends(self, key: Key) -> bool:
        """Return whether `key` is the end of a code that is held, or comes right after one."""
        return (self.reads or self._more) and key.key in ENDS

    def end_with(self, key: Key) -> None:
        """Take note that `key` has ended a code."""
        self._last, self._more = key, True

    def rest(self) -> None:
        """Take note that no key has come for a moment: the next one is a person's."""
        self._more = False

    @property
    def reads(self) -> bool:
        """Whether what is held is a code, and no keys."""
        if self._more:
            return bool(self._held)
        return len(self._held) >= LEAST and not self._alike

    @property
    def repeats(self) -> bool:
        """Whether what is held is one key that is held down."""
        return self._alike and len(self._held) >= MOST_ALIKE and not self._more

    def last_is(self, key: Key) -> bool:
        """Return whether no key has come after `key`."""
        return self._last is key

    @property
    def wait(self) -> float:
        """Seconds without a key after which what is held is whole."""
        return TAIL if self.reads else PACE

    def give(self) -> tuple[str, Sequence[Key]]:
        """Return the code that was held, or else its keys; nothing is held after it."""
        code = "".join(_typed(key) for key in self._held) if self.reads else ""
        keys = () if code else tuple(self._held)
        self._held.clear()
        return code, keys

    @property
    def _alike(self) -> bool:
        return len({key.key for key in self._held}) <= 1


def _typed(key: Key) -> str:
    return " " if key.key in ENDS else key.character or ""
