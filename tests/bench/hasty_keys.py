"""Keys that are pressed from the first moment on, by somebody who knows the way: what came of them.

Each start draws its keys, and the moments between them, from a seed. A start counts as failed where
the program ends by itself or something unforeseen ends it; then its keys and its report are
printed, and the exit code is 1.

    .venv/bin/python tests/bench/hasty_keys.py --starts 200 --seed 1
"""

import argparse
import random
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS), str(TESTS / "screens"), str(TESTS.parent)]

from bare_terminal import BareTerminal  # noqa: E402 - the folders of the tests come first
from many_jobs import begin, make  # noqa: E402
from pairs import say  # noqa: E402
from real_terminal import bay  # noqa: E402

NAMED = {
    "up": "\x1b[A",
    "down": "\x1b[B",
    "pageup": "\x1b[5~",
    "pagedown": "\x1b[6~",
    "home": "\x1b[H",
    "end": "\x1b[F",
    "enter": "\r",
    "escape": "\x1b",
    "tab": "\t",
    "f1": "\x1bOP",
    "f2": "\x1bOQ",
    "f9": "\x1b[20~",
    "f10": "\x1b[21~",
}
KEYS = [*NAMED, *"nclprv1270su"]
GAPS = (0.005, 0.02, 0.05, 0.15, 0.3)
"""Seconds between two keys. Own choice: from keys that a terminal sends together to quick hands."""


def hasty(command: list[str], drawn: random.Random, lasts: float) -> Iterator[str]:
    """Run `command`, yield each key that is pressed within `lasts` seconds, and last why it ended.

    Where it did not end, the last is empty.
    """
    with BareTerminal(command, (80, 24)) as terminal:
        over = time.monotonic() + lasts
        while time.monotonic() < over and terminal.poll() is None:
            _read_for(terminal, drawn.choice(GAPS))
            key = drawn.choice(KEYS)
            yield key
            if terminal.poll() is None:
                terminal.send(NAMED.get(key, key))
        _read_for(terminal, 0.3)
        ended = terminal.poll()
        yield "" if ended is None else f"it ended with {ended}"


def _read_for(terminal: BareTerminal, seconds: float) -> None:
    over = time.monotonic() + seconds
    while (left := over - time.monotonic()) > 0 and terminal.poll() is None:
        terminal.read(left)


def main() -> int:
    """Start as often as was asked, and print what came of it."""
    asked = argparse.ArgumentParser(description="Keys from the first moment on.")
    asked.add_argument("--starts", type=int, default=200)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--lasts", type=float, default=2.0, help="seconds in which keys are pressed")
    given = asked.parse_args()
    drawn = random.Random(given.seed)
    pressed = failed = 0
    with tempfile.TemporaryDirectory() as folder:
        shop = Path(folder) / "shop"
        make(shop, 12, long=False)
        begin(shop, 3)
        under_way = sorted(path.name for path in (shop / "jobs").iterdir())[-1]
        commands = [bay("--shop", str(shop)), bay("resume", under_way, "--shop", str(shop))]
        for number in range(given.starts):
            *keys, why = hasty(commands[number % 4 == 3], drawn, given.lasts)
            pressed += len(keys)
            if why:
                failed += 1
                say(f"Start {number}: {why} after {' '.join(keys)}")
                reports = shop / "reports"
                for report in reports.iterdir() if reports.is_dir() else ():
                    say(report.read_text(encoding="utf-8"))
                    report.unlink()
    say(f"{given.starts} starts, {pressed} keys, seed {given.seed}: {failed} failed.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
