"""Lines out and lines in: where they go, where they come from, and how both may end."""

import contextlib
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from typing import Protocol, TextIO

from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.text.clean import clean

SOONEST = 0.4
"""Seconds after a question before which Enter alone at a terminal is a key held down, or pressed
twice, and no answer. Own choice: shorter than it takes to hear one word of the question."""

HELD = "That Enter came before you can have heard the question. Press it again."

AT_ONCE = 0.05
"""Seconds after a question in which nobody types a line: it was there before. Own choice."""

AHEAD = (
    "That line was typed or pasted before the question, so it did nothing, nor did any line "
    "after it. Answer again."
)

MOST_OF_A_LINE = 1024 if sys.platform == "darwin" else 4096
"""Bytes that a terminal keeps of one line, its end included; it drops what is typed beyond them
without a word. Measured on Linux; for macOS, from memory."""

TOO_LONG = (
    f"This terminal keeps {MOST_OF_A_LINE - 1:,} characters of a line at most and dropped the "
    "rest, so that line did nothing. Type or paste it in shorter lines."
)


class Lines(Protocol):
    """What the line-by-line mode talks through."""

    def say(self, text: str) -> None:
        """Add one line; it has left the program on return."""

    def ask(self, prompt: str) -> str:
        """Put a question, and return the line typed, cleaned and without white space at its ends.

        Raises:
            EOFError: There is no more input.
        """

    def ask_secret(self, prompt: str) -> str:
        """Put a question whose answer a terminal does not show; otherwise as `ask`."""


def say_all(lines: Lines, texts: Iterable[str]) -> None:
    """Add several lines."""
    for text in texts:
        lines.say(text)


class Terminal:
    """A terminal of any kind, a pipe, or a file, which takes lines and gives lines."""

    def __init__(self, given: TextIO | None = None, shown: TextIO | None = None) -> None:
        """Read from `given` and write to `shown`; without them, from stdin and to stdout."""
        self._given = given or sys.stdin
        self._shown = shown or sys.stdout
        self._asked_at = 0.0
        reconfigure = getattr(self._given, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")

    def say(self, text: str) -> None:
        """Add one line.

        Raises:
            BrokenPipeError: Nobody reads it any more.
            StoreTrouble: Wherever it leads takes no more.
        """
        self._write(f"{_one_line(text)}\n")

    def ask(self, prompt: str) -> str:
        """Put a question, and return the line typed.

        Raises:
            EOFError: There is no more input, or the terminal has gone.
            BrokenPipeError: Nobody reads the question any more.
        """
        line = self._read_after(prompt)
        while line and self._given.isatty() and (no_answer := self._no_answer(line)):
            self._write(f"\n{no_answer}\n")
            line = self._read_after(prompt)
        if not (line.endswith("\n") and self._given.isatty()):
            self._write("\n")  # no terminal has moved on to the next line by itself
        if not line:
            raise EOFError
        return _one_line(line)

    def ask_secret(self, prompt: str) -> str:
        """Put a question, and return what is typed, which a terminal does not show.

        Raises:
            EOFError: There is no more input, or the terminal has gone.
            BrokenPipeError: Nobody reads the question any more.
        """
        if not self._given.isatty():
            return self.ask(prompt)
        from getpass import getpass

        return _one_line(getpass(f"{_one_line(prompt)} "))

    def _read_after(self, prompt: str) -> str:
        try:
            self._write(f"{_one_line(prompt)} ")
            self._asked_at = time.monotonic()
            with _asked_again(lambda: self._write(f"{_one_line(prompt)} ")):
                return self._read()
        except KeyboardInterrupt:  # what is said now begins a line of its own
            self._write("\n")
            raise

    def _no_answer(self, line: str) -> str:
        """Return why `line` of a terminal is no answer, empty where it is one."""
        waited = time.monotonic() - self._asked_at
        if line == "\n" and waited < SOONEST:
            return HELD
        if waited < AT_ONCE:
            self._drop_what_came()
            return AHEAD
        return TOO_LONG if len(line.encode(errors="replace")) >= MOST_OF_A_LINE else ""

    def _drop_what_came(self) -> None:
        """Forget the lines that are here already; each would answer a question to come."""
        with contextlib.suppress(ImportError, OSError, ValueError):
            import termios

            termios.tcflush(self._given.fileno(), termios.TCIFLUSH)

    def _read(self) -> str:
        try:
            return self._given.readline()
        except (OSError, ValueError):  # a terminal that hung up, a stream that was closed
            return ""

    def _write(self, text: str) -> None:
        with _writing():
            self._shown.write(text)
            self._shown.flush()


def _one_line(text: str) -> str:
    return clean(text).replace("\n", " ").strip()


@contextlib.contextmanager
def _writing() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise StoreTrouble(f"The output cannot be written: {because(error)}.") from None


@contextlib.contextmanager
def _asked_again(ask: Callable[[], object]) -> Iterator[None]:
    """Call `ask` when the program goes on after Ctrl+Z: the terminal drops what was half typed."""
    resumed = getattr(signal, "SIGCONT", None)
    if resumed is None or threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(resumed, lambda number, frame: ask())
    try:
        yield
    finally:
        signal.signal(resumed, before)
