"""The program in a real pseudo-terminal: new sizes, odd bytes, pastes, a shell, a closed window."""

import contextlib
import random
import shutil
import signal
import sys
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from bench import Bench

from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH

pytest.importorskip("pty", reason="only where there are pseudo-terminals")

from real_terminal import RealTerminal, bay

SEED, SIZES = 8, 24
LONG = "lorem ipsum " * 833 + "end."
"""10,000 characters."""
SUSPEND = "\x1a"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Return a shop whose clock is not far from that of the machine."""
    made = Bench(tmp_path / "shop")
    made.clock.at = datetime.now(UTC) - timedelta(hours=12)
    return made


def resume(bench: Bench, folder: Path) -> list[str]:
    return bay("resume", folder.name, "--shop", str(bench.folder))


@contextlib.contextmanager
def opened(
    bench: Bench, folder: Path, env: Mapping[str, str] | None = None
) -> Iterator[RealTerminal]:
    """Open the job in `folder` on its screen, at its step in hand: the gap before was worked."""
    with RealTerminal(resume(bench, folder), env=env) as terminal:
        terminal.see("What were the last")
        terminal.send("1")
        terminal.see_go("What were the last")
        yield terminal


def sizes() -> Iterator[tuple[int, int]]:
    """Yield sizes from a corner of a window to a whole wall, always the same ones."""
    drawn = random.Random(SEED)
    for _ in range(SIZES):
        yield drawn.randint(20, 200), drawn.randint(5, 60)


def test_what_is_typed_in_a_storm_of_sizes_is_kept_as_it_was_typed(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    typed, was_small = "Q", False  # a letter that stands nowhere else
    with opened(bench, folder) as terminal:
        before = bench.kinds(folder)
        terminal.send(typed)
        for number, (columns, rows) in enumerate(sizes()):
            small = columns < LEAST_WIDTH or rows < LEAST_HEIGHT
            if small and not was_small:
                terminal.see(typed)  # a key on its way would come to the small window
            terminal.resize(columns, rows)
            if small:
                terminal.see("too small")
                terminal.see_go(typed)
            else:
                if was_small:
                    terminal.see(typed)  # “too small” may be gone while it is drawn anew
                key = "0123456789"[number % 10]
                terminal.send(key)
                typed += key
            was_small = small
        if not was_small:
            terminal.see(typed)
        assert len(typed) > SIZES / 3
        terminal.resize(60, 20)
        terminal.see("too small. Make it at least 64 by 21; 80 by 24 is good. Nothing is lost.")
        terminal.send("Z\r1")  # nobody sees what these would do
        terminal.settle()
        terminal.resize(80, 24)
        terminal.see(typed)
        assert bench.kinds(folder) == before
        terminal.send("\r")
        terminal.see("Step 18 of 33")
        assert b"Traceback" not in terminal.raw
    assert bench.kinds(folder) == [*before, "answered", "begun"]
    assert bench.last(folder, "answered")["data"]["words"] == typed


TWICE = """
import fcntl, struct, sys, termios
from textual.app import App
from baycompanion.screens.typed.terminal_driver import TerminalDriver

def give(columns, rows):
    fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

class Twice(TerminalDriver):
    nexts = []
    def _get_terminal_size(self):
        size = super()._get_terminal_size()
        if self.nexts:
            give(*self.nexts.pop())
        return size

class Show(App):
    def on_ready(self):
        Twice.nexts = [(120, 40)]
        give(100, 30)
        self.set_interval(0.01, self.look)
        self.set_timer(1, lambda: self.exit(return_code=7))
    def look(self):
        if self.size == (120, 40) and not Twice.nexts:
            self.set_timer(0.1, lambda: self.exit(return_code=0 if self.size == (120, 40) else 8))

app = Show(Twice)
app.run()
sys.exit(app.return_code)
"""


def test_a_size_that_comes_while_the_one_before_is_read_is_the_one_that_stands() -> None:
    """A signal is looked at in the midst of the one before: the newer size came first, and went."""
    with RealTerminal([sys.executable, "-c", TWICE]) as terminal:
        assert terminal.wait() == 0, terminal.raw


@pytest.mark.parametrize("end", ["hung up", signal.SIGTERM], ids=str)
def test_a_window_that_is_closed_in_the_middle_of_an_entry_keeps_all_of_it(
    bench: Bench, end: str | signal.Signals
) -> None:
    folder = bench.job(to="stations")
    with opened(bench, folder) as terminal:
        terminal.send("88.1\r94.")
        terminal.see("1. 88.1")
        terminal.see("94.")
        before = bench.kinds(folder)
        if isinstance(end, signal.Signals):
            terminal.kill(end)
        else:
            terminal.hang_up()
        assert terminal.wait() == 0
    draft = (folder / "draft.json").read_text(encoding="utf-8")
    assert '"entry": "94."' in draft and "88.1" in draft
    assert bench.kinds(folder) == before
    bench.act(folder)  # nobody holds it any more


def test_a_window_that_goes_without_a_signal_ends_the_program_too(bench: Bench) -> None:
    """As behind `nohup`, or in a container whose first program passes no signals on."""
    folder = bench.job(to="gauges")
    command = ["bash", "-c", "trap '' HUP; exec \"$@\"", "bash", *resume(bench, folder)]
    if shutil.which("bash") is None:
        pytest.skip("no bash")
    with RealTerminal(command) as terminal:
        terminal.see("What were the last")
        terminal.send("1")
        terminal.see_go("What were the last")
        terminal.send("18,16")
        terminal.see("18,16")
        terminal.hang_up()
        assert terminal.wait() == 0
    assert "18,16" in (folder / "draft.json").read_text(encoding="utf-8")


def test_a_terminal_without_utf_8_is_read_and_written_in_what_it_has(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    env = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "iso8859-1"}
    with opened(bench, folder, env) as terminal:
        terminal.send("gr\xfcn".encode("iso8859-1"))
        terminal.settle()
        assert b"gr\xfcn" in terminal.raw
        assert terminal.text.isascii() or not set(terminal.text) & set("▊…✓▶·")
        terminal.send("\r")
        terminal.see("Step 18 of 33")
    assert bench.last(folder, "answered")["data"]["words"] == "grün"


def test_a_terminal_with_ascii_alone_shows_every_frame_in_line(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    env = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"}
    with opened(bench, folder, env) as terminal:
        terminal.send(b"\xe4\xff")  # no text in any encoding that it may have
        terminal.see("??")
        terminal.send("\x7f\x7f" + SUSPEND)
        terminal.see("There is no shell behind this window to go to.")
        terminal.send("\x1bOQ")
        lines = terminal.see("Esc Back").splitlines()
        assert terminal.raw.isascii()
        assert "?" not in "".join(lines)
        top, bottom = (n for n, line in enumerate(lines) if line.endswith("--+"))
        assert len({len(line) for line in lines[top : bottom + 1]}) == 1
        assert all(line.endswith("|") for line in lines[top + 1 : bottom])


def test_a_paste_of_10_000_characters_answers_nothing_and_loses_nothing(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    with opened(bench, folder) as terminal:
        before = bench.kinds(folder)
        terminal.paste("1\n2\n\n" * 2000)
        terminal.see("No field stands here for what was pasted")
        terminal.send("1\r2\r1\r" * 300 + "1\r")  # 10,000 in tests/bench/terminal_storms.py
        terminal.see("nothing was answered. Step 4")
        terminal.settle()
        assert bench.kinds(folder) == before
        terminal.send("\x1bOQ")
        terminal.see("Write it down")
        assert len(LONG) == 10_000
        terminal.paste(LONG.replace(" ", "\n"))
        terminal.see("lorem ipsum")
        assert bench.kinds(folder) == before
        terminal.send("\r")
        terminal.see_go("Write it down")
    assert bench.last(folder, "noted")["data"]["words"] == LONG
    assert bench.kinds(folder) == [*before, "noted"]


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs a shell with job control")
def test_ctrl_z_leads_to_the_shell_and_back_to_what_was_typed(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    with RealTerminal(["bash", "--norc", "-i"], env={"PS1": "shell> "}) as terminal:
        terminal.see("shell>")
        terminal.send(" ".join(resume(bench, folder)) + "\r")
        terminal.see("What were the last")
        terminal.send("1")
        terminal.see_go("What were the last")
        terminal.send("18,")
        terminal.see("18,")
        terminal.send(SUSPEND)
        terminal.see("Stopped")
        assert "18," in (folder / "draft.json").read_text(encoding="utf-8")
        terminal.send("clear; echo here\r")
        terminal.see_go("Step 17 of 33")
        terminal.send("fg\r")
        terminal.see("Step 17 of 33")
        terminal.send("16\r")
        terminal.see("Step 18 of 33")
        terminal.send("\x11")
        terminal.see("shell>")
    assert bench.last(folder, "answered")["data"]["words"] == "18,16"


def test_a_dumb_terminal_is_talked_to_in_lines(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    with RealTerminal(resume(bench, folder), env={"TERM": "dumb"}) as terminal:
        terminal.see("? for help:")
        terminal.settle()
        terminal.send("1\r")
        terminal.see("Write it down; or ?cannot")
        terminal.settle()
        terminal.send("18,16\r18\r1\r")  # the lines after the first come before their questions
        terminal.see("That line was typed or pasted before the question")
        terminal.see("Step 18 of 33.")
        assert b"\x1b" not in terminal.raw
    assert bench.last(folder, "answered")["data"]["words"] == "18,16"
    assert bench.kinds(folder)[-2:] == ["answered", "begun"]
