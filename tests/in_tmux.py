"""A terminal multiplexer round the program: it stays when a window goes, and others join it."""

import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

TMUX = shutil.which("tmux")
"""Where it is, None where it is not installed."""

SETTINGS = "set -g status off\nset -g window-size latest\nset -s escape-time 20\n"
"""No line of its own, so that a window is the program's; the size of whoever typed last."""


class Tmux:
    """A server of its own, ended with the block; nothing is read of how this machine has it set."""

    def __init__(self, folder: Path) -> None:
        """Make a server whose files lie in `folder`."""
        settings = folder / "tmux.conf"
        settings.write_text(SETTINGS, encoding="ascii")
        self._to = [str(TMUX), "-u", "-S", str(folder / "tmux"), "-f", str(settings)]

    def __enter__(self) -> "Tmux":
        """Return this server, which runs from the first `around` on."""
        return self

    def __exit__(self, *why: object) -> None:
        """End the server, and with it the program."""
        self.do("kill-server", check=False)

    def around(self, command: Sequence[str]) -> list[str]:
        """Return the command line that runs `command` in a session of its own, and shows it."""
        return [*self._to, "new-session", *command]

    def joined(self) -> list[str]:
        """Return the command line that shows the session in one more terminal."""
        return [*self._to, "attach-session"]

    def do(self, *words: str, check: bool = True, given: bytes = b"") -> None:
        """Have the server carry out one command, with `given` on its stdin."""
        subprocess.run([*self._to, *words], input=given, check=check, capture_output=True)
