"""The terminal under the screens: one that goes away, that sends odd bytes, that has few signs.

The library's own way with terminals shows a traceback at a byte that is no UTF-8, waits for ever
to write to a window that was closed, sends signs that the terminal cannot show, and can tell two
sizes that come at once in the wrong order.
"""

import asyncio
import errno
import os
import selectors
import signal
import sys
from codecs import getincrementaldecoder, lookup
from collections.abc import Callable
from typing import Any, TextIO

from textual._xterm_parser import XTermParser
from textual.drivers.linux_driver import LinuxDriver
from textual.events import Resize
from textual.geometry import Size

from baycompanion.screens.typed.marked_paste import MarkedPaste
from baycompanion.text.signs import in_columns

TICK = 0.1
"""Seconds after which an Escape that nothing follows is the key; the library's own."""


class TerminalDriver(LinuxDriver):
    """Reads keys in the terminal's own encoding, and tells the app when the terminal has gone."""

    def __init__(self, app: Any, **more: Any) -> None:
        """Drive the terminal of `app`; `more` is what the library's own takes."""
        super().__init__(app, **more)
        self._file: Any = _Lasting(self._file, self._has_gone)

    def start_application_mode(self) -> None:
        """Take the terminal, and read its size anew at each signal in turn.

        The library reads it as the signal comes. Another can come in the midst of that, and is
        looked at first: its newer size is told first then, and the older one stands for good.
        """
        super().start_application_mode()  # type: ignore[no-untyped-call]
        asyncio.get_running_loop().add_signal_handler(signal.SIGWINCH, self._tell_size)

    def _tell_size(self) -> None:
        if not self._in_band_window_resize:  # else the terminal tells it itself
            size = Size(*self._get_terminal_size())
            self._app.post_message(Resize(size, size))

    def _has_gone(self) -> None:
        self._app.call_later(self._app.action_quit)

    def _run_input_thread(self) -> None:
        """Read keys until the app ends, or the terminal does."""
        try:
            self.run_input_thread()
        except (OSError, EOFError):
            self._has_gone()
        except Exception as error:
            self._app.call_later(self._app._handle_exception, error)

    def run_input_thread(self) -> None:
        """Read keys until the app ends.

        Raises:
            EOFError: The terminal has gone.
            OSError: It cannot be read.
        """
        parser, marked = XTermParser(self._debug), MarkedPaste()
        decode = getincrementaldecoder(typed_in(sys.__stdin__))(errors="replace").decode
        selector = selectors.SelectSelector()  # others take no terminal on some systems
        selector.register(self.fileno, selectors.EVENT_READ)
        with selector:
            while not self.exit_event.is_set():
                if selector.select(TICK):
                    got = os.read(self.fileno, 4096)
                    if not got:
                        raise EOFError
                    if text := marked.take(decode(got)):  # nothing at all would end its reading
                        for event in parser.feed(text):
                            self.process_message(event)
                for event in parser.tick():
                    self.process_message(event)


def typed_in(stream: TextIO | None) -> str:
    """Return the encoding in which a terminal sends what is typed: that of `stream`.

    ASCII is a part of UTF-8, and a terminal that is thought to know no more often does.
    """
    name = lookup(getattr(stream, "encoding", None) or "utf-8").name
    return "utf-8" if name == "ascii" else name


class _Lasting:
    """A stream to a terminal that may go away at any time, and that takes what it can show."""

    def __init__(self, stream: TextIO, has_gone: Callable[[], None]) -> None:
        """Write to `stream`, and call `has_gone` once it takes no more."""
        self._stream = stream
        self._has_gone: Callable[[], None] | None = has_gone
        self.encoding = getattr(stream, "encoding", None) or "utf-8"

    def write(self, text: str) -> None:
        """Write `text`, in signs that the terminal has."""
        self._try(lambda: self._stream.write(in_columns(text, self.encoding)))

    def flush(self) -> None:
        """Send what was written."""
        self._try(self._stream.flush)

    def isatty(self) -> bool:
        """Return whether it is a terminal."""
        return self._stream.isatty()

    def fileno(self) -> int:
        """Return the number of its file."""
        return self._stream.fileno()

    def _try(self, do: Callable[[], object]) -> None:
        try:
            do()
        except (OSError, ValueError) as error:  # the second where the stream was closed
            if getattr(error, "errno", None) in (errno.EAGAIN, errno.EINTR):
                return
            if self._has_gone is not None:
                told, self._has_gone = self._has_gone, None
                told()
