"""A program in a terminal of its own, to measure when it has painted what.

The terminal answers what a real one would, so that nobody waits for an answer in vain; what is
painted is found in the bytes, with the codes of colours and places taken out.
"""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

from pairs import Took

_CODES = re.compile(
    rb"\x1b(?:\[[0-9;:?<>=!$ ]*[@-~]|[PX^_\]].*?(?:\x1b\\|\x07)|[()][0-9A-Z]|[@-Z\\=>78])"
)
_ANSWERS = {
    b"\x1b[c": b"\x1b[?62;22c",
    b"\x1b[?2026$p": b"\x1b[?2026;2$y",
    b"\x1b[?2048$p": b"\x1b[?2048;0$y",
    b"\x1b[16t": b"\x1b[6;20;10t",
    b"\x1b[14t": b"\x1b[4;720;1200t",
}
"""What a plain terminal answers to what it is asked."""


_CACHED = {"PYTHONDONTWRITEBYTECODE": ""}
"""Compiled modules are kept, as they are where a program is installed."""


class Terminal:
    """One program in a terminal of 120 columns and 36 lines."""

    def __init__(self, command: Sequence[str], more: Mapping[str, str] | None = None) -> None:
        """Begin `command`, with `more` in its environment."""
        mine, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 36, 120, 1200, 720))
        surroundings = {**os.environ, **_CACHED, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        self.begun = time.perf_counter()
        self._process = subprocess.Popen(
            list(command),
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            start_new_session=True,
            env={**surroundings, **(more or {})},
        )
        os.close(theirs)
        self._mine = mine
        self.bytes = b""
        """All that was written since the last `forget`."""

    def wait_for(self, *texts: str, seconds: float = 60) -> Took:
        """Return what it took since the beginning until all of `texts` have been painted.

        Raises:
            TimeoutError: They were not.
        """
        wanted = [text.encode() for text in texts]
        ends = time.perf_counter() + seconds
        while True:
            self._take(0.5)
            painted = _CODES.sub(b"", self.bytes)
            if all(text in painted for text in wanted):
                return Took(time.perf_counter() - self.begun, self.processor)
            if time.perf_counter() > ends or self._process.poll() is not None:
                shown = painted[-2000:].decode(errors="replace")
                raise TimeoutError(f"{texts} were not painted, but: {shown}")

    def press(self, keys: bytes, until: bytes = b"", quiet: float = 0.08) -> Took:
        """Send `keys` and return what it took until the last byte that they made it paint.

        Painting counts as over after `quiet` seconds without a byte.
        """
        self.bytes = b""
        processor = self.processor
        begun = last = time.perf_counter()
        os.write(self._mine, keys)
        while time.perf_counter() - last < quiet or not self.bytes:
            if self._take(0.005):
                last = time.perf_counter()
            if time.perf_counter() - begun > 10:
                raise TimeoutError(f"{keys!r} painted nothing")
        return Took(last - begun, self.processor - processor)

    def answer(self, keys: bytes, *texts: str) -> Took:
        """Send `keys` and return what it took until all of `texts`, or anything, were painted.

        Raises:
            TimeoutError: They were not.
        """
        self.forget()
        begun, processor = time.perf_counter(), self.processor
        os.write(self._mine, keys)
        while not self.bytes:
            self._take(0.5)
            if time.perf_counter() - begun > 10:
                raise TimeoutError(f"{keys!r} painted nothing")
        took = self.wait_for(*texts)
        return Took(time.perf_counter() - begun, took.processor - processor)

    def rest(self, seconds: float) -> None:
        """Read whatever comes for so long."""
        ends = time.perf_counter() + seconds
        while time.perf_counter() < ends:
            self._take(0.02)

    def forget(self) -> None:
        """Forget what was written until now."""
        self.bytes = b""

    @property
    def processor(self) -> float:
        """Seconds of the processor that all threads of the program have had, where it is told."""
        try:
            tasks = Path(f"/proc/{self._process.pid}/task").iterdir()
            return sum(int((task / "schedstat").read_text().split()[0]) for task in tasks) / 1e9
        except (OSError, ValueError):
            return float("nan")

    def _take(self, seconds: float) -> bool:
        """Take what is there within so many seconds; return whether anything was."""
        if not select.select([self._mine], [], [], seconds)[0]:
            return False
        try:
            new = os.read(self._mine, 1 << 16)
        except OSError:  # the other side is gone
            return False
        self.bytes += new
        for asked, answer in _ANSWERS.items():
            if asked in new:
                os.write(self._mine, answer)
        return bool(new)

    def end(self) -> None:
        """End the program, however it stands."""
        if self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()
        os.close(self._mine)
