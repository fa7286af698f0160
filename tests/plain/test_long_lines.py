"""Lines of 10,000 and of a million characters, through a pipe and in a terminal, to a process."""

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from baycompanion.plain.terminal import AT_ONCE, TOO_LONG
from baycompanion.store.job.folder import read_job
from baycompanion.store.shop import Shop

PAGE, MUCH = "x" * 10_000, "\N{LATIN SMALL LETTER E WITH ACUTE}" * 1_000_000
WORKED = "1"
"""The answer to what the time was in which no program ran."""


@pytest.fixture
def resume(shop: Shop, folder: Path, walk: Callable[..., None]) -> list[str]:
    """Return the command line that opens a job which stands at words to write down."""
    walk("gauges")
    command = [sys.executable, "-m", "baycompanion", "resume", folder.name, "--plain"]
    return [*command, "--shop", str(shop.folder)]


def noted(folder: Path) -> list[str]:
    return [str(each.data.words) for each in read_job(folder).events if each.kind == "noted"]


def test_a_pipe_takes_a_long_line_whole_and_refuses_one_that_nobody_reads(
    resume: list[str], folder: Path
) -> None:
    lines = [WORKED, "?note", PAGE, "?note", MUCH, "a short one", "quit"]
    ran = subprocess.run(
        resume,
        input="\n".join(lines),
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.count("This is longer than 10,000 characters. Shorten it.\n") == 1
    assert max(map(len, ran.stdout.splitlines())) < 500, "nobody is told all of it again"
    assert noted(folder) == [PAGE, "a short one"]


def test_a_terminal_that_drops_the_end_of_a_line_is_told_of_and_asked_again(
    resume: list[str], folder: Path
) -> None:
    """The kernel keeps 4,095 bytes of a line, so neither of the long ones can have come whole."""
    pytest.importorskip("pty", reason="only where there are pseudo-terminals")
    from bare_terminal import BareTerminal

    with BareTerminal(resume, env={"PYTHONIOENCODING": "utf-8"}) as terminal:
        for line, told in (
            (WORKED, "Write the gauges of the leads down."),
            (PAGE, TOO_LONG),
            (MUCH, TOO_LONG),
            ("18,16", "Step 18 of "),
        ):
            terminal.read_to("? for help:")
            time.sleep(2 * AT_ONCE)  # nobody types a line sooner
            terminal.send(f"{line}\n")
            terminal.read_to(told)
    [answered] = [each.data for each in read_job(folder).events if each.kind == "answered"][-1:]
    assert (answered.step, answered.words) == ("gauges", "18,16")
    assert noted(folder) == []
