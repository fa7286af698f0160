"""The program in a terminal multiplexer: windows come and go round it, and nothing is lost."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from bench import Bench
from in_tmux import TMUX, Tmux

pytest.importorskip("pty", reason="only where there are pseudo-terminals")

from real_terminal import RealTerminal, bay

pytestmark = pytest.mark.skipif(TMUX is None, reason="no tmux")

NOTE = "the lead behind the glove box"
F2, LEAVE = "\x1bOQ", "\x11"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Return a shop whose clock is not far from that of the machine."""
    made = Bench(tmp_path / "shop")
    made.clock.at = datetime.now(UTC) - timedelta(hours=12)
    return made


@pytest.fixture
def tmux(tmp_path: Path) -> Iterator[Tmux]:
    with Tmux(tmp_path) as server:
        yield server


def opened(tmux: Tmux, bench: Bench, folder: Path) -> RealTerminal:
    """Open the job in `folder` in a window of 80 by 24; the gap before was worked."""
    resume = bay("resume", folder.name, "--shop", str(bench.folder))
    terminal = RealTerminal(tmux.around(resume))
    terminal.see("What were the last")
    terminal.send("1")
    terminal.see_go("What were the last")
    return terminal


def assert_whole(terminal: RealTerminal) -> None:
    """Prove that the program fills its window: the keys stand in the last line."""
    terminal.until(lambda: "f9 More" in terminal.lines[-1], lambda: "no keys in the last line")


def test_a_half_typed_note_outlives_small_windows_and_every_window(
    bench: Bench, tmux: Tmux
) -> None:
    folder = bench.job(to="gauges")
    before = bench.kinds(folder)
    with opened(tmux, bench, folder) as first:
        first.send(F2)
        first.see("Enter Save Esc Back")
        first.send(NOTE)
        first.see(NOTE)
        first.resize(60, 20)
        first.see("too small. Make it at least")
        first.resize(80, 24)
        first.see(NOTE)
        with RealTerminal(tmux.joined(), size=(120, 36)) as second:
            second.see(NOTE)
            second.send(", on the left")
            second.see(f"{NOTE}, on the left")
            assert_whole(second)
            first.hang_up()
            first.wait()
            tmux.do("detach-client")
            assert second.wait() == 0
    with RealTerminal(tmux.joined()) as third:
        third.see(f"{NOTE}, on the left")
        assert_whole(third)
        third.send("\r")
        # the form may be painted anew here, so that its going tells nothing of what was kept
        third.until(lambda: bench.kinds(folder)[len(before) + 2 :] == ["noted"], lambda: "no note")
        third.see_go("Enter Save Esc Back")
        third.send(LEAVE)
        assert third.wait() == 0
        assert b"Traceback" not in third.raw
    assert bench.last(folder, "noted")["data"]["words"] == f"{NOTE}, on the left"


def test_what_its_buffer_pastes_with_codes_in_it_answers_nothing(bench: Bench, tmux: Tmux) -> None:
    """A buffer holds colours as they were shown, and is pasted with them."""
    folder = bench.job(to="joins-hold")
    coloured = ("\x1b[31m1\n2\n\x1b[0m\x1b1" * 900)[:10_000].encode()
    with opened(tmux, bench, folder) as terminal:
        before = bench.kinds(folder)
        tmux.do("load-buffer", "-", given=coloured)
        tmux.do("paste-buffer", "-p")
        terminal.see("No field stands here for what was pasted")
        terminal.settle()
        assert bench.kinds(folder) == before
        terminal.send(F2)
        terminal.see("Enter Save Esc Back")
        tmux.do("paste-buffer", "-p")
        terminal.see("\ufffd[31m1 2")
        assert bench.kinds(folder) == before
        terminal.send(LEAVE)
        assert terminal.wait() == 0
