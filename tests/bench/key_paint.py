"""From a key press to the paint, against a bare option list of the same length.

    python tests/bench/key_paint.py [--steps 150] [--presses 36]

Both programs run in a terminal of their own, side by side, and are pressed in turn: what is told is
the time from the byte sent to the last byte painted. On the job, Down looks at the next step, and
Enter answers the step in hand, its flush included; in the bare list, Down moves on by a line. A
digit is pressed too: it waits for a moment, in which a code reader would have sent its next one,
and that moment is told apart. Whether every press answered a step is looked up in the journal.

The bare list must not come to its end meanwhile: it goes on at its top then, where nothing scrolls,
and one screen of presses is quicker by a quarter.
"""

import argparse
import sys
import tempfile
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from statistics import median, quantiles

from long_procedure import begin_job, shop_for
from pairs import Took, ratio, say, spread
from terminal import Terminal

from baycompanion.screens.job.held_enter import PAUSE
from baycompanion.screens.typed.code_reader import PACE
from baycompanion.store.job.journal import NAME

BARE = """
import sys
from textual.app import App
from textual.widgets import OptionList

class Bare(App):
    def compose(self):
        yield OptionList(*(f"Clip lamp {n} in." for n in range(int(sys.argv[1]))))

Bare().run()
"""

ANSWERED = b'"kind":"answered"'
PARTS = 4
"""How often so many presses are measured."""
DOWN, ENTER, ESCAPE = b"\x1b[B", b"\r", b"\x1b"


def p95(seconds: Sequence[float]) -> float:
    return quantiles(seconds, n=20, method="inclusive")[-1]


def told(what: str, ours: Sequence[Took], bare: Sequence[Took]) -> None:
    """Print the ratios of medians and of slow presses."""
    for name in ("clock", "processor"):
        one = [getattr(took, name) for took in ours]
        other = [getattr(took, name) for took in bare]
        say(
            f"{what}, by the {name}: {spread(one)}; bare {spread(other)}\n"
            f"  median {median(one) / median(other):.2f} (wanted: 1.5), "
            f"p95 {p95(one) * 1000:.1f} ms, {p95(one) / p95(other):.2f} (wanted: 2); "
            f"pair by pair {ratio(one, other)}"
        )


def look_ahead(job: Terminal, bare: Terminal, what: str, presses: int) -> None:
    """Look at one step after the other."""
    ours, other = [], []
    for _ in range(presses):
        ours.append(job.press(DOWN))
        other.append(bare.press(DOWN))
        job.rest(0.1)
    told(what, ours, other)


def answer(job: Terminal, bare: Terminal, key: bytes, presses: int, journal: Path) -> None:
    """Answer one step after the other by `key`; each must stand in the `journal`."""
    before = journal.read_bytes().count(ANSWERED)
    ours, other = [], []
    for _ in range(presses):
        ours.append(job.press(key))
        other.append(bare.press(DOWN))
        job.rest(PAUSE.total_seconds() + 0.05)  # an Enter that comes again at once answers nothing
    told(f"{'Enter' if key == ENTER else key.decode()}, an answered step", ours, other)
    answered = journal.read_bytes().count(ANSWERED) - before
    assert answered == presses, f"{answered} steps were answered, not {presses}"


def main() -> None:
    """Press keys in both in turn."""
    asked = argparse.ArgumentParser(description="From a key press to the paint.")
    asked.add_argument("--steps", type=int, default=150)
    asked.add_argument("--presses", type=int, default=36)
    typed = asked.parse_args()
    presses = typed.presses
    if PARTS * presses >= typed.steps:
        asked.error(f"{PARTS} times {presses} presses go beyond the end of {typed.steps} steps.")
    with tempfile.TemporaryDirectory() as scratch:
        shop = shop_for(Path(scratch) / "shop")
        alike = begin_job(shop, typed.steps, only=0, when=datetime.now(UTC))
        mixed = begin_job(shop, typed.steps, when=datetime.now(UTC))
        baycompanion = [sys.executable, "-m", "baycompanion", "--shop", str(shop.folder), "resume"]
        bare = Terminal([sys.executable, "-c", BARE, str(typed.steps)])
        jobs = [Terminal([*baycompanion, folder.name]) for folder in (alike, mixed)]
        try:
            for terminal in (bare, *jobs):
                terminal.wait_for("Clip lamp 0 in.")
                terminal.rest(1.5)
            look_ahead(jobs[0], bare, "Down, cards of one height", presses)
            look_ahead(jobs[1], bare, "Down, cards of every kind", presses)
            jobs[0].press(ESCAPE)
            answer(jobs[0], bare, ENTER, presses, alike / NAME)
            answer(jobs[0], bare, b"1", presses, alike / NAME)
            say(f"Of a digit, {PACE * 1000:.0f} ms are the wait for a code reader.")
        finally:
            for terminal in (bare, *jobs):
                terminal.end()


if __name__ == "__main__":
    main()
