"""A program in a pseudo-terminal of its own: bytes go in, bytes come out, nobody looks at them."""

import contextlib
import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType, TracebackType
from typing import Self

PATIENCE = 40.0
"""Seconds after which something that was waited for counts as missing."""
CELL = (10, 20)
"""Pixels of a character, across and down, as the terminal tells them."""
NO_ANSWERS: Mapping[bytes, bytes] = MappingProxyType({})


class BareTerminal:
    """A terminal that takes what a program writes; leaving the block ends the program."""

    def __init__(
        self,
        words: Sequence[str],
        size: tuple[int, int] = (80, 24),
        env: Mapping[str, str] | None = None,
        cwd: Path | None = None,
        answers: Mapping[bytes, bytes] = NO_ANSWERS,
    ) -> None:
        """Run the command line of `words` at `size` (columns, rows).

        `env` is added to the environment; an empty value takes a variable out. `answers` says what
        the terminal answers to what it is asked.
        """
        self.raw = b""
        """Every byte that the program wrote."""
        self._waited_for = 0
        """How many of them `read_to` has returned."""
        self._answers = answers
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
        os.set_inheritable(
            self.ours, False
        )  # or the next program would keep this one's window open

    def __enter__(self) -> Self:
        """Return this terminal."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End the program, if it has not ended, and give the terminal back."""
        self.end()

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

    def resize(self, columns: int, rows: int) -> None:
        """Give the window another size."""
        _set_size(self.ours, (columns, rows))

    def hang_up(self) -> None:
        """Close the terminal, as the mouse closes its window."""
        with contextlib.suppress(OSError):
            os.close(self.ours)
        self.ours = -1

    # --- bytes out -------------------------------------------------------------------------------

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
        for asked, answer in self._answers.items():
            if asked in got:
                os.write(self.ours, answer)
        return bool(got)

    def read_to(self, words: str) -> str:
        """Wait until the program has written `words` after what was waited for before.

        Returns all that came after that, `words` at its end.
        """
        wanted, begins = words.encode(), self._waited_for
        self.until(lambda: wanted in self.raw[begins:], lambda: f"“{words}” never came")
        self._waited_for = self.raw.index(wanted, begins) + len(wanted)
        return self.raw[begins : self._waited_for].decode(errors="replace")

    def until(self, holds: Callable[[], bool], otherwise: Callable[[], str]) -> None:
        """Read on until `holds`; where it does not in time, or ever, fail with what `otherwise`."""
        until = time.monotonic() + PATIENCE
        while not holds():
            more = self.read(0.05) or self._status is None
            assert more, f"{otherwise()}; the program ended with {self._status}:\n{self.shown}"
            assert time.monotonic() < until, f"{otherwise()}:\n{self.shown}"

    @property
    def shown(self) -> str:
        """What is told of the terminal where something is missing in it."""
        return self.raw[-3000:].decode(errors="replace")

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
            assert time.monotonic() < until, f"it does not end:\n{self.shown}"
            time.sleep(0.005)
        assert self._status is not None
        return self._status

    def kill(self, number: signal.Signals) -> None:
        """Send the signal `number` to the program."""
        os.kill(self.pid, number)

    def end(self) -> None:
        """End the program, however it stands, and give the terminal back."""
        if self._status is None:
            with contextlib.suppress(ProcessLookupError):
                os.kill(self.pid, signal.SIGKILL)
            self.wait()
        self.hang_up()


def _set_size(terminal: int, size: tuple[int, int]) -> None:
    columns, rows = size
    pixels = (columns * CELL[0], rows * CELL[1])
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, *pixels))
