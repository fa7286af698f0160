"""A program in a terminal of its own, to measure when it has painted what.

The terminal answers what a real one would, so that nobody waits for an answer in vain; what is
painted is found in the bytes, with the codes of colours and places taken out.
"""

import os
import re
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from pairs import Took

sys.path.insert(0, str(Path(__file__).parents[1]))
from bare_terminal import BareTerminal

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

_AS_INSTALLED = {"PYTHONDONTWRITEBYTECODE": "", "COLORTERM": "truecolor"}
"""Compiled modules are kept, as they are where a program is installed."""


class Terminal(BareTerminal):
    """One program in a terminal of 120 columns and 36 lines."""

    def __init__(self, command: Sequence[str]) -> None:
        """Begin `command`."""
        self.begun = time.perf_counter()
        super().__init__(command, (120, 36), _AS_INSTALLED, answers=_ANSWERS)

    def wait_for(self, *texts: str, seconds: float = 60) -> Took:
        """Return what it took since the beginning until all of `texts` have been painted.

        Raises:
            TimeoutError: They were not.
        """
        wanted = [text.encode() for text in texts]
        ends = time.perf_counter() + seconds
        while True:
            self.read(0.5)
            painted = _CODES.sub(b"", self.raw)
            if all(text in painted for text in wanted):
                return Took(time.perf_counter() - self.begun, self.processor)
            if time.perf_counter() > ends or self.poll() is not None:
                shown = painted[-2000:].decode(errors="replace")
                raise TimeoutError(f"{texts} were not painted, but: {shown}")

    def press(self, keys: bytes, quiet: float = 0.08) -> Took:
        """Send `keys` and return what it took until the last byte that they made it paint.

        Painting counts as over after `quiet` seconds without a byte.
        """
        self.raw = b""
        processor = self.processor
        begun = last = time.perf_counter()
        os.write(self.ours, keys)
        while time.perf_counter() - last < quiet or not self.raw:
            if self.read(0.005):
                last = time.perf_counter()
            if time.perf_counter() - begun > 10:
                raise TimeoutError(f"{keys!r} painted nothing")
        return Took(last - begun, self.processor - processor)

    def answer(self, keys: bytes, *texts: str) -> Took:
        """Send `keys` and return what it took until all of `texts`, or anything, were painted.

        Raises:
            TimeoutError: They were not.
        """
        self.raw = b""
        begun, processor = time.perf_counter(), self.processor
        os.write(self.ours, keys)
        while not self.raw:
            self.read(0.5)
            if time.perf_counter() - begun > 10:
                raise TimeoutError(f"{keys!r} painted nothing")
        took = self.wait_for(*texts)
        return Took(time.perf_counter() - begun, took.processor - processor)

    def rest(self, seconds: float) -> None:
        """Read whatever comes for so long."""
        ends = time.perf_counter() + seconds
        while time.perf_counter() < ends:
            self.read(0.02)

    @property
    def processor(self) -> float:
        """Seconds of the processor that all threads of the program have had, where it is told."""
        try:
            tasks = Path(f"/proc/{self.pid}/task").iterdir()
            return sum(int((task / "schedstat").read_text().split()[0]) for task in tasks) / 1e9
        except (OSError, ValueError):
            return float("nan")
