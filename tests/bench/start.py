"""From a typed `baycompanion` to the board, against the smallest program on the same UI library.

    python tests/bench/start.py [--pairs 7] [--jobs 1000]

Both run in a terminal of their own and are timed until what they show has been painted. The first
whole frame is the title, the room of the list and every key at the bottom; the usable
board is that of a shop with so many ended jobs and three under way, and every line of it is there.
"""

import argparse
import sys
import tempfile
from pathlib import Path

from pairs import Took, in_pairs, say
from terminal import Terminal

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


def board(shop: Path, *painted: str) -> Took:
    terminal = Terminal([sys.executable, "-m", "baycompanion", "--shop", str(shop)])
    try:
        return terminal.wait_for(*painted)
    finally:
        terminal.end()


def main() -> None:
    """Make both shops, and measure."""
    told = argparse.ArgumentParser(description="From the command to the board.")
    told.add_argument("--pairs", type=int, default=7)
    told.add_argument("--jobs", type=int, default=1000)
    asked = told.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        empty = Path(scratch) / "empty"
        empty.mkdir()
        first = in_pairs(lambda: board(empty, *FRAME), bare, asked.pairs)
        first.told("First whole frame", "1.5 times at most")
        from many_jobs import begin, make

        shops = [Path(scratch) / f"shop-{jobs}" for jobs in (asked.jobs // 10, asked.jobs)]
        for shop, jobs in zip(shops, (asked.jobs // 10, asked.jobs), strict=True):
            make(shop, jobs, long=False)
            begin(shop, 3)
            painted = (
                *FRAME,
                "UNDER WAY",
                "ENDED LATELY",
                "WO 900",
                "WO 901",
                "WO 902",
                "step 3 of 6",
            )
            usable = in_pairs(
                lambda shop=shop, painted=painted: board(shop, *painted), bare, asked.pairs
            )
            usable.told(f"Usable board, {jobs} jobs", "2 times at most")
    say("Processor time is that of every thread until then, the clock what a person waits.")


if __name__ == "__main__":
    main()
