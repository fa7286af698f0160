"""A real pseudo-terminal with a program in it: keys go in, and what a person sees is read off it.

What the program writes is read by pyte, an emulator of the terminals that ECMA-48 describes, so a
test looks at what stands on the screen and not at the bytes that drew it.
"""

import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType

import pyte

PATIENCE = 40.0
"""Seconds after which something that was waited for counts as missing."""
QUIET = 0.25
"""Seconds without a byte after which the program has drawn all it meant to."""

PASTE_BEGINS, PASTE_ENDS = b"\x1b[200~", b"\x1b[201~"
"""What a terminal puts round a paste once it was asked to (xterm's bracketed paste)."""

_NOT_KNOWN = re.compile(
    rb"\x1b\[[<>=][\d;]*[a-zA-Z]|\x1b\[\?[\d;]*\$p|\x1b\[[\d;]*t|\x1bP.*?\x1b\\"
)
"""Questions and modes that the emulator would print as letters."""


class RealTerminal:
    """A program in a pseudo-terminal of its own; leaving the block ends the program."""

    def __init__(
        self,
        words: Sequence[str],
        size: tuple[int, int] = (80, 24),
        env: Mapping[str, str] | None = None,
        cwd: Path | None = None,
    ) -> None:
        """Run the command line of `words` at `size` (columns, rows).

        `env` is added to the environment; an empty value takes a variable out.
        """
        self._screen = pyte.Screen(*size)
        self._stream = pyte.ByteStream(self._screen)
        self.raw = b""
        """Every byte that the program wrote."""
        self._status: int | None = None
        given = {**os.environ, "TERM": "xterm-256color", **(env or {})}
        for name in ("COLUMNS", "LINES", "NO_COLOR"):
            if name not in (env or {}):
                given.pop(name, None)
        given = {name: value for name, value in given.items() if value}
        self.pid, self.ours = pty.fork()
        if self.pid == 0:  # pragma: no cover - in the child, which becomes the program
            with contextlib.suppress(BaseException):
                _set_size(0, size)
                if cwd is not None:
                    os.chdir(cwd)
                os.execvpe(words[0], list(words), given)
            os._exit(127)

    def __enter__(self) -> "RealTerminal":
        """Return this terminal."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End the program, if it has not ended, and give the terminal back."""
        if self._status is None:
            with contextlib.suppress(ProcessLookupError):
                os.kill(self.pid, signal.SIGKILL)
            self.wait()
        self.hang_up()

    # --- keys in -------------------------------------------------------------------------------

    def send(self, keys: str | bytes) -> None:
        """Send `keys` as fast as the terminal takes them, and read on meanwhile."""
        left = keys.encode() if isinstance(keys, str) else keys
        until = time.monotonic() + PATIENCE
        while left:
            _, writable, _ = select.select([], [self.ours], [], 0.02)
            if writable:
                left = left[os.write(self.ours, left[:256]) :]
            self.read(0)
            assert time.monotonic() < until, "the program does not take what is typed"

    def paste(self, text: str) -> None:
        """Paste `text` the way a terminal does that was asked to mark it."""
        self.send(PASTE_BEGINS + text.encode() + PASTE_ENDS)

    def resize(self, columns: int, rows: int) -> None:
        """Give the window another size."""
        kept = dict(self._screen.buffer)
        self._screen.resize(rows, columns)
        self._screen.buffer.clear()  # it cuts lines off the top; a window loses those at its foot
        self._screen.buffer.update({row: line for row, line in kept.items() if row < rows})
        _set_size(self.ours, (columns, rows))

    def hang_up(self) -> None:
        """Close the terminal, as the mouse closes its window."""
        with contextlib.suppress(OSError):
            os.close(self.ours)

    # --- the screen out --------------------------------------------------------------------------

    @property
    def lines(self) -> list[str]:
        """What stands on the screen, line by line."""
        return [line.rstrip() for line in self._screen.display]

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(self.lines)

    def see(self, words: str) -> str:
        """Wait until `words` stand on the screen, on one line or several; return all that does."""
        self._until(lambda: words in self._words, f"“{words}” never came")
        return self.text

    def see_go(self, words: str) -> str:
        """Wait until `words` stand on the screen no more, and return what does."""
        self._until(lambda: words not in self._words, f"“{words}” never went")
        return self.text

    @property
    def _words(self) -> str:
        return " ".join(self.text.split())

    def _until(self, holds: Callable[[], bool], otherwise: str) -> None:
        until = time.monotonic() + PATIENCE
        while not holds():
            more = self.read(0.05) or self._status is None
            assert more and time.monotonic() < until, f"{otherwise}:\n{self.text}"

    def settle(self) -> str:
        """Wait until the program draws no more for a moment, and return what stands there."""
        quiet_since = time.monotonic()
        until = quiet_since + PATIENCE
        while time.monotonic() - quiet_since < QUIET and time.monotonic() < until:
            if self.read(0.05):
                quiet_since = time.monotonic()
        return self.text

    def read(self, wait: float) -> bool:
        """Take in what the program wrote within `wait` seconds; return whether it was anything."""
        if not select.select([self.ours], [], [], wait)[0]:
            return False
        try:
            got = os.read(self.ours, 65536)
        except OSError:  # what a pseudo-terminal says whose program has ended
            time.sleep(wait)
            self.poll()
            return False
        self.raw += got
        self._stream.feed(_NOT_KNOWN.sub(b"", got))
        return bool(got)

    # --- the end ---------------------------------------------------------------------------------

    def poll(self) -> int | None:
        """Return the exit code of the program, -N after signal N; None while it runs."""
        if self._status is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self._status = os.waitstatus_to_exitcode(status)
        return self._status

    def wait(self, patience: float = PATIENCE) -> int:
        """Wait for the end of the program, and return its exit code."""
        until = time.monotonic() + patience
        while self.poll() is None:
            with contextlib.suppress(OSError, ValueError):
                self.read(0.02)
            assert time.monotonic() < until, f"it does not end:\n{self.text}"
            time.sleep(0.005)
        assert self._status is not None
        return self._status

    def kill(self, number: signal.Signals) -> None:
        """Send the signal `number` to the program."""
        os.kill(self.pid, number)


def _set_size(terminal: int, size: tuple[int, int]) -> None:
    columns, rows = size
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))


def bay(*words: str) -> list[str]:
    """Return the command line that runs this program with `words`."""
    return [sys.executable, "-m", "baycompanion", *words]
