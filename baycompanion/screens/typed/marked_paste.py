"""What a terminal marks as pasted, without codes in it: they would end the paste, or press keys.

The library's reader of keys looks for keys in a paste, too: after an escape code it gives up to 32
characters of what was pasted as keys that are pressed, and an escape alone as the key.
"""

import re

from baycompanion.text.clean import REPLACEMENT

BEGINS, ENDS = "\x1b[200~", "\x1b[201~"
"""What a terminal that was asked to puts round a paste (xterm's bracketed paste)."""

_UNFINISHED = re.compile(r"\x1b(?:\[(?:2(?:0(?:[01]?))?)?)?\Z")
"""The first part of a mark, where a read of the terminal ended in it."""


class MarkedPaste:
    """Follows what a terminal sends, and takes the codes out of each paste in it."""

    def __init__(self) -> None:
        """Begin outside of a paste."""
        self._within = False
        self._before = ""
        """Outside of a paste, what may be the first part of its mark, and was given already.

        Inside of one it was not given yet: whether it is the mark or a code shows what follows.
        """

    def take(self, text: str) -> str:
        """Return what of `text`, the next that was sent, goes to the reader of keys."""
        given = ""
        while text:
            part, text = self._paste(text) if self._within else self._keys(text)
            given += part
        return given

    def _keys(self, text: str) -> tuple[str, str]:
        """Return what is sent up to the beginning of a paste, and what comes after it."""
        known = len(self._before)
        text = self._before + text
        keys, begins, rest = text.partition(BEGINS)
        self._within = bool(begins)
        unfinished = None if begins else _UNFINISHED.search(text)
        self._before = unfinished[0] if unfinished else ""
        return (keys + begins)[known:], rest

    def _paste(self, text: str) -> tuple[str, str]:
        """Return what is pasted, up to its end, without codes, and what comes after it."""
        pasted, ends, rest = (self._before + text).partition(ENDS)
        self._within = not ends
        unfinished = None if ends else _UNFINISHED.search(pasted)
        self._before = unfinished[0] if unfinished else ""
        whole = pasted[: len(pasted) - len(self._before)]
        return whole.replace("\x1b", REPLACEMENT) + ends, rest
