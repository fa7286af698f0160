"""A job that cannot be opened, read line by line: why, how far, and every step."""

import contextlib
import os
import subprocess
import sys
from collections import deque
from collections.abc import Callable
from pathlib import Path

import pytest
from bay import T1, T2
from listener import Clock, Typist

from baycompanion.exits import Exit
from baycompanion.job.actions import Acknowledge, Note
from baycompanion.plain.board import Board
from baycompanion.plain.only_reading import QUESTION
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.shop_place import VARIABLE

Type = Callable[..., Typist]
Walk = Callable[..., None]


@pytest.fixture
def at_the_board(shop: Shop, clock: Clock) -> Type:
    def type_lines(*lines: str) -> Typist:
        typist = Typist(clock, deque(lines))
        with contextlib.suppress(EOFError):
            Board(shop, typist, clock).walk()
        return typist

    return type_lines


def damage_last_line(folder: Path) -> int:
    """Change a digit in the last line of the journal; return its number, counted from 1."""
    lines = (folder / "journal.jsonl").read_bytes().splitlines(keepends=True)
    lines[-1] = lines[-1].replace(b'"at":"2026', b'"at":"2025')
    (folder / "journal.jsonl").write_bytes(b"".join(lines))
    return len(lines)


def test_a_damaged_job_is_read_as_far_as_it_goes(
    at_the_board: Type, folder: Path, walk: Walk
) -> None:
    walk("gauges")
    number = damage_last_line(folder)
    before = (folder / "journal.jsonl").read_bytes()
    typist = at_the_board("1", "5", "steps", "99", "nonsense", "?", "", "board")
    assert typist.told(f"journal.jsonl:{number}: It was changed after it was written")
    assert typist.told("Shown is what comes before that line; nothing can be added to it.")
    assert typist.told("Answered: recorded · 80123 km"), "step 5 was looked at"
    assert typist.told("17. Write the gauges of the leads down. – ")
    assert typist.told("Type the number of a step, from 1 to 33.")
    assert typist.told("“nonsense” means nothing here.")
    assert typist.told("open: try to open the job, to work on it.")
    assert typist.prompts.count(QUESTION) == 7
    assert (folder / "journal.jsonl").read_bytes() == before


def test_nothing_runs_on_in_a_job_that_nobody_can_work_on(
    at_the_board: Type, shop: Shop, folder: Path, walk: Walk, clock: Clock
) -> None:
    walk("cure")
    job = OpenJob(folder, shop.lists, T1, clock())
    job.act(Note(note="the line that is damaged"), T1, clock())
    job.leave()
    damage_last_line(folder)
    clock.move(3600)
    typist = at_the_board("1", "board")
    assert typist.told("9 min of 40 min · phase 3 of 5: Bench")
    assert typist.told("10:00 to go")
    assert not typist.told("the time is over")


def test_the_wait_of_a_job_that_somebody_has_open_runs_on(
    at_the_board: Type, shop: Shop, folder: Path, walk: Walk, clock: Clock
) -> None:
    walk("cure")
    other = OpenJob(folder, shop.lists, T2, clock())
    clock.move(240)
    try:
        typist = at_the_board("1", "board")
    finally:
        other.leave()
    assert typist.told("05:55 to go"), "it began 5 s before the colleague came"


@pytest.mark.parametrize(
    ("step", "said", "offered"),
    [("cure", "Lasts 10 min", "Pause"), ("join", "Photo: required", "(photo)")],
)
def test_a_reader_is_told_what_is_asked_for_and_offered_nothing(
    at_the_board: Type,
    shop: Shop,
    folder: Path,
    walk: Walk,
    clock: Clock,
    step: str,
    said: str,
    offered: str,
) -> None:
    walk(step)
    other = OpenJob(folder, shop.lists, T1, clock())
    if step == "join":
        other.act(Acknowledge(acknowledge="join"), T1, clock())
    try:
        typist = at_the_board("1", "board")
    finally:
        other.leave()
    assert typist.told(said)
    assert not typist.told(offered)


def test_a_job_held_elsewhere_is_followed_and_opened_once_it_is_free(
    shop: Shop, folder: Path, walk: Walk, clock: Clock
) -> None:
    walk("joins-hold")
    other = OpenJob(folder, shop.lists, T2, clock())

    class Colleague(Typist):
        """Types, while somebody else works on the job and then leaves it."""

        def ask(self, prompt: str) -> str:
            if len(self.prompts) == 1:
                other.act(Note(note="written there"), T2, clock())
            if len(self.prompts) == 3:
                other.leave()
            return super().ask(prompt)

    typist = Colleague(clock, deque(["1", "again", "open", "again", "open", "quit"]))
    try:
        Board(shop, typist, clock).walk()
    finally:
        other.leave()
    assert typist.told("The job went on elsewhere meanwhile.")
    assert sum("This job is open with T2" in line for line in typist.heard) == 3
    assert typist.told("Nobody has this job open any more, so it can be opened here.")
    assert typist.told("Left: job 20260302-wo-7"), "it was opened in the end"


def test_resume_in_lines_says_by_its_exit_code_that_the_job_was_only_read(
    shop: Shop, folder: Path, walk: Walk
) -> None:
    walk("gauges")
    damage_last_line(folder)
    environment = {**os.environ, VARIABLE: str(shop.folder), "PYTHONIOENCODING": "utf-8"}

    def resumed(*words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "baycompanion", "resume", folder.name, "--by", T1.id, *words],
            input=typed,
            capture_output=True,
            text=True,
            encoding="utf-8",
            env=environment,
            timeout=60,
            check=False,
        )

    read = resumed("--plain", typed="quit\n")
    assert read.returncode == Exit.TROUBLE
    assert "nothing can be added to it" in read.stdout
    assert "Traceback" not in read.stdout + read.stderr
    without_a_screen = resumed()
    assert without_a_screen.returncode == Exit.TROUBLE
    assert "The journal was damaged; keep it for the audit." in without_a_screen.stderr
