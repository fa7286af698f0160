"""A terminal as a person sees it: what the program wrote, read off the screen that it makes.

What the program writes is read by pyte, an emulator of the terminals that ECMA-48 describes, so a
test looks at what stands on the screen and not at the bytes that drew it.
"""

import re
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

import pyte
from bare_terminal import PATIENCE, BareTerminal

QUIET = 0.25
"""Seconds without a byte after which the program has drawn all it meant to."""

PASTE_BEGINS, PASTE_ENDS = b"\x1b[200~", b"\x1b[201~"
"""What a terminal puts round a paste once it was asked to (xterm's bracketed paste)."""

_NOT_KNOWN = re.compile(
    rb"\x1b\[[<>=][\d;]*[a-zA-Z]|\x1b\[\?[\d;]*\$p|\x1b\[[\d;]*t|\x1bP.*?\x1b\\"
)
"""Questions and modes that the emulator would print as letters."""


class RealTerminal(BareTerminal):
    """A terminal with a screen."""

    def __init__(
        self,
        words: Sequence[str],
        size: tuple[int, int] = (80, 24),
        env: Mapping[str, str] | None = None,
        cwd: Path | None = None,
    ) -> None:
        """Run the command line of `words` as `BareTerminal` does."""
        self._screen = pyte.Screen(*size)
        self._stream = pyte.ByteStream(self._screen)
        self._drawn = 0
        """How many of the bytes that the program wrote stand on the screen."""
        super().__init__(words, size, env, cwd)

    def paste(self, text: str) -> None:
        """Paste `text` the way a terminal does that was asked to mark it."""
        self.send(PASTE_BEGINS + text.encode() + PASTE_ENDS)

    def resize(self, columns: int, rows: int) -> None:
        """Give the window another size."""
        self._draw()
        kept = {row: line for row, line in self._screen.buffer.items() if row < rows}
        for line in kept.values():
            for column in [column for column in line if column >= columns]:
                del line[column]
        self._screen.resize(rows, columns)
        self._screen.buffer.clear()  # it cuts lines off the top; a window loses those at its foot
        self._screen.buffer.update(kept)
        super().resize(columns, rows)

    def _draw(self) -> None:
        new, self._drawn = self.raw[self._drawn :], len(self.raw)
        self._stream.feed(_NOT_KNOWN.sub(b"", new))

    @property
    def lines(self) -> list[str]:
        """What stands on the screen, line by line."""
        self._draw()
        return [line.rstrip() for line in self._screen.display]

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(self.lines)

    shown = text

    def see(self, words: str) -> str:
        """Wait until `words` stand on the screen, on one line or several; return all that does."""
        self.until(lambda: words in self._words, lambda: f"“{words}” never came")
        return self.text

    def see_go(self, words: str) -> str:
        """Wait until `words` stand on the screen no more, and return what does."""
        self.until(lambda: words not in self._words, lambda: f"“{words}” never went")
        return self.text

    @property
    def _words(self) -> str:
        return " ".join(self.text.split())

    def settle(self) -> str:
        """Wait until the program draws no more for a moment, and return what stands there."""
        quiet_since = time.monotonic()
        until = quiet_since + PATIENCE
        while time.monotonic() - quiet_since < QUIET and time.monotonic() < until:
            if self.read(0.05):
                quiet_since = time.monotonic()
        return self.text


def bay(*words: str) -> list[str]:
    """Return the command line that runs this program with `words`."""
    return [sys.executable, "-m", "baycompanion", *words]
