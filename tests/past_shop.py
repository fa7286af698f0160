"""A shop with a past: lamp jobs that were played, each phase as long as it is told to be.

All of it is invented. Run as a program, it makes a shop to look at: fifteen lamp jobs that have
ended, and one under way. `python tests/past_shop.py FOLDER`
"""

import sys
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

from lamp import ACTIONS, HEAD, START, make_shop, play_text
from played_once import played_once

from baycompanion.play.run import Played
from baycompanion.store.shop import Shop

Minutes = tuple[int, int, int]
"""The minutes worked in each of the three phases."""


def lamp_script(order: str, start: datetime, minutes: Minutes, until: str = "close") -> str:
    """Return a script of a lamp job; it stops before the action that names `until`."""
    take_in, fit, keys_back = (60 * each for each in minutes)
    lines = ACTIONS.splitlines(keepends=True)
    lasts = {"answer: tools-staged": take_in - 30, "answer: volts": fit - 430}
    lasts |= {"answer: shown": keys_back - 30, "photo: lamp.png": 60}
    timed = [_timed(line, lasts) for line in lines]
    stop = next((n for n, line in enumerate(lines) if until in line), len(lines))
    kept = timed if until == "close" else timed[:stop]
    head = HEAD.replace("WO 7/b", order).replace("2026-03-02T08:30:00Z", f"{start:%FT%TZ}")
    return head + "".join(kept)


def _timed(line: str, lasts: dict[str, int]) -> str:
    for action, seconds in lasts.items():
        if action in line and "after" not in line:
            return line.replace(" }", f", after: {seconds} s }}")
    return line


def play_past(folder: Path, shop: Shop, past: Sequence[Minutes]) -> list[Played]:
    """Play a lamp job a day that takes so long in each phase; every one is closed."""
    return played_once(shop, ("past", *past), lambda: _play_past(folder, shop, past))


def _play_past(folder: Path, shop: Shop, past: Sequence[Minutes]) -> list[Played]:
    played = []
    for day, minutes in enumerate(past):
        start = START + timedelta(days=day)
        script = lamp_script(f"WO {100 + day}", start, minutes)
        played.append(play_text(script, folder / "script", shop, start))
        assert played[-1].stop is None, played[-1].stop
    return played


def invented_minutes(jobs: int, seed: int) -> list[Minutes]:
    """Return times of invented jobs: the middle phase some 25 min, now and then much longer."""
    chance = Random(seed)

    def about(minutes: float) -> int:
        return max(8, round(minutes * chance.lognormvariate(0, 0.3)))

    return [(about(10), about(25), about(12)) for _ in range(jobs)]


def main(folder: Path, jobs: int = 15) -> None:
    """Make a shop in `folder` with so many ended jobs, and one that began 11 minutes ago."""
    shop = make_shop(folder)
    play_past(folder, shop, invented_minutes(jobs, seed=5))
    now = datetime.now(START.tzinfo).replace(microsecond=0)
    start = now - timedelta(minutes=11)
    play_text(lamp_script("WO 900", start, (10, 25, 12), "volts"), folder / "script", shop, start)


if __name__ == "__main__":
    main(Path(sys.argv[1]), *map(int, sys.argv[2:]))
