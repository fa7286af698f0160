"""From a typed `baycompanion` to the board, against the smallest program on the same UI library.

    python tests/bench/start.py [--pairs 7] [--jobs 1000]

Both run in a terminal of their own and are timed until what they show has been painted. The first
whole frame is the title, the room of the list and every key at the bottom; the usable
board is that of a shop with so many ended jobs and three under way, and every line of it is there:
as it is day by day, where it was kept; as it is where one of these three was worked on meanwhile,
so that its line says no more than which job it is; and as it is the first time, where none says
more before every job has been read. Then the first keys: Down moves at once, Enter waits for what
it opens.
"""

import argparse
import os
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from pairs import Took, in_pairs, say, spread
from terminal import Terminal

from baycompanion.store.kept_board import JOURNAL, NAME, read_kept

BARE = """
from textual.app import App
from textual.widgets import Static

class Bare(App):
    def compose(self):
        yield Static("A bare program")

Bare().run()
"""

FRAME = ("BAY BOARD", "Leave")


def bare() -> Took:
    terminal = Terminal([sys.executable, "-c", BARE])
    try:
        return terminal.wait_for("A bare program")
    finally:
        terminal.end()


JOBS = (*FRAME, "UNDER WAY", "ENDED LATELY", "WO 900", "WO 901", "WO 902")
LISTED = (*JOBS, "step 3 of 6")
DOWN, ENTER = b"\x1b[B", b"\r"


def board(shop: Path, painted: Sequence[str]) -> Took:
    terminal = _begin(shop)
    try:
        return terminal.wait_for(*painted)
    finally:
        terminal.end()


def after_work(shop: Path) -> Took:
    """Start the board as after work in a job that no board has seen the end of."""
    kept = read_kept(shop)
    assert kept is not None
    os.utime(shop / "jobs" / kept.under_way[0].folder / JOURNAL)
    return board(shop, LISTED)


def first_board(shop: Path, painted: Sequence[str]) -> Took:
    """Start the board as at the first time: nothing is kept of it."""
    (shop / NAME).unlink(missing_ok=True)
    return board(shop, painted)


def key(shop: Path, keys: bytes, after: float, *painted: str) -> Took:
    """Return what `keys` took that were pressed so many seconds after the board stood."""
    terminal = _begin(shop)
    try:
        terminal.wait_for(*LISTED)
        terminal.rest(after)
        return terminal.answer(keys, *painted)
    finally:
        terminal.end()


def look(shop: Path) -> None:
    """Start the board and leave it once it has been kept, as it is from the second time on."""
    terminal = _begin(shop)
    try:
        terminal.wait_for(*LISTED)
        while not (shop / NAME).exists():
            terminal.rest(0.1)
    finally:
        terminal.end()


def _begin(shop: Path) -> Terminal:
    return Terminal([sys.executable, "-m", "baycompanion", "--shop", str(shop)])


def main() -> None:
    """Make both shops, and measure."""
    told = argparse.ArgumentParser(description="From the command to the board.")
    told.add_argument("--pairs", type=int, default=7)
    told.add_argument("--jobs", type=int, default=1000)
    asked = told.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        empty = Path(scratch) / "empty"
        empty.mkdir()
        first = in_pairs(lambda: board(empty, FRAME), bare, asked.pairs)
        first.told("First whole frame", "1.5 times at most")
        from many_jobs import begin, make

        for jobs in (asked.jobs // 10, asked.jobs):
            shop = Path(scratch) / f"shop-{jobs}"
            make(shop, jobs, long=False)
            begin(shop, 3)
            _tell_usable(shop, jobs, asked.pairs)
    say("Processor time is that of every thread until then, the clock what a person waits.")


def _tell_usable(shop: Path, jobs: int, pairs: int) -> None:
    """Tell of the shop in `shop` when its board is usable, and what the first keys take."""
    look(shop)
    usable = in_pairs(lambda: board(shop, LISTED), bare, pairs)
    usable.told(f"Usable board, {jobs} jobs", "2 times at most")
    moved = [key(shop, DOWN, 0) for _ in range(pairs)]
    say(f"  Down, at once: {spread([took.clock for took in moved])} by the clock")
    usable = in_pairs(lambda: after_work(shop), bare, pairs)
    usable.told(f"After work in a job, {jobs} jobs", "2 times at most")
    usable = in_pairs(lambda: first_board(shop, JOBS), bare, pairs)
    usable.told(f"The first time, {jobs} jobs", "2 times at most")
    usable = in_pairs(lambda: first_board(shop, LISTED), bare, pairs)
    usable.told(f"The first time, until all jobs are read, {jobs} jobs", "not said")
    for after in (0, 2):
        opened = in_pairs(lambda after=after: key(shop, ENTER, after, "Why"), bare, pairs)
        opened.told(f"Enter to the job, {after} s after the board, {jobs} jobs", "no more than it")


if __name__ == "__main__":
    main()
