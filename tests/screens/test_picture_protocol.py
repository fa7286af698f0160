"""A picture goes out in the protocol that the terminal answers to; one that is silent gets cells.

The terminal is a pseudo-terminal that answers the question for its device attributes (ECMA-48, DA):
attribute 4 stands for sixel graphics (as in the DEC manuals of such terminals, from memory).
"""

import os
import select
import struct
import subprocess
import sys
import time
from pathlib import Path

import pytest

fcntl = pytest.importorskip("fcntl")
termios = pytest.importorskip("termios")
pty = pytest.importorskip("pty", reason="only where there are pseudo-terminals")

SHOW = """
import hashlib, sys
from pathlib import Path
from PIL import Image
from textual.app import App
from baycompanion.job.events.kinds import PhotoAdded
from baycompanion.screens.job.pictures import picture, ready_for_pictures
from baycompanion.screens.typed.terminal_driver import TerminalDriver

folder = Path(sys.argv[1])
Image.new("RGB", (60, 40), "navy").save(folder / "a.png")
content = (folder / "a.png").read_bytes()
digest = hashlib.sha256(content).hexdigest()
photo = PhotoAdded(file="a.png", sha256=digest, size=len(content), original="a.png", step=None)

class Show(App):
    def on_mount(self):
        self.call_after_refresh(self.show)
    def show(self):
        ready_for_pictures(self)
        self.mount(picture(folder, photo))
        self.set_timer(1, self.exit)

Show(TerminalDriver).run()
"""


def written(folder: Path, attributes: bytes | None, sized: bool = True) -> bytes:
    """Return all that is written to a terminal which gives `attributes`, or no answer at all."""
    ours, theirs = pty.openpty()
    if sized:  # rows, columns, and the pixels of both
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 800, 480))
    command = [sys.executable, "-c", SHOW, str(folder)]
    more = {"TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
    child = subprocess.Popen(
        command, stdin=theirs, stdout=theirs, stderr=theirs, env={**os.environ, **more}
    )
    os.close(theirs)
    out, until = b"", time.monotonic() + 60
    answered = 0
    try:
        while time.monotonic() < until:
            if select.select([ours], [], [], 0.05)[0]:
                try:
                    got = os.read(ours, 65536)
                except OSError:  # what a closed pseudo-terminal says on some systems
                    break
                if not got:
                    break
                out += got
                asked = out.count(b"\x1b[c")
                if attributes is not None and asked > answered:
                    os.write(ours, attributes * (asked - answered))
                    answered = asked
            elif child.poll() is not None:
                break
        assert child.wait(5) == 0
    finally:
        child.kill()
        os.close(ours)
    return out


def test_a_terminal_with_sixel_graphics_is_sent_them(tmp_path: Path) -> None:
    assert b"\x1bP" in written(tmp_path, b"\x1b[?62;4c")


@pytest.mark.parametrize("attributes", [b"\x1b[?62c", None])
def test_any_other_terminal_gets_cells_and_is_not_waited_for(
    tmp_path: Path, attributes: bytes | None
) -> None:
    out = written(tmp_path, attributes)
    assert b"\x1bP" not in out.replace(b"\x1bP+q", b"").replace(b"\x1bP=", b"")
    assert "▀".encode() in out or "▄".encode() in out


def test_a_terminal_that_does_not_know_its_size_is_told_where_the_photo_lies(
    tmp_path: Path,
) -> None:
    out = written(tmp_path, b"\x1b[?62;4c", sized=False)
    assert b"It lies at" in out
    assert b"Traceback" not in out
