"""What a process killed while it plays a script leaves: every event that was acknowledged, or not.

.venv/bin/python tests/bench/kills.py
.venv/bin/python tests/bench/kills.py --kills 900 --seed 2 --day bad-day

Each kill is SIGKILL at a seeded moment. Afterwards the journal is held against what the process had
been told is on the disk, the job is opened, and the rest of the script is played. All jobs lie in
one shop, whose ledger is killed with them; at the end the whole shop is audited. The exit code is 1
where anything was lost. Processes are forked, so this runs where the system can fork.
"""

import argparse
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from killed import WAYS, Left, demo_day, kill_at, lamp_day, measure, moments
from shop_whole import what_is_wrong


def told(lefts: Sequence[Left], name: str) -> None:
    """Print one line of figures."""
    killed = [each for each in lefts if each.killed]
    made = [each for each in lefts if each.made]
    times = sorted(each.opened_in * 1000 for each in made) or [0.0]
    print(  # noqa: T201
        f"{name:<8}{len(lefts):>6}{len(killed):>8}{len(made):>6}"
        f"{sum(each.acknowledged for each in lefts):>14}{sum(each.found for each in lefts):>8}"
        f"{sum(each.more for each in made):>6}{sum(each.torn > 0 for each in lefts):>6}"
        f"{sum(each.finished for each in made):>10}"
        f"{statistics.median(times):>9.0f}{times[-1]:>7.0f}"
    )


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--day", default="good-day", help="a script of the demo, or lamp")
    asked = parser.parse_args()
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as place:
        named = asked.day
        day = lamp_day(Path(place) / "script") if named == "lamp" else demo_day(named)
        whole = measure(day, day.new_shop(Path(place) / "measured").folder)
        print(  # noqa: T201
            f"{asked.day}: {len(day.read.moves)} actions in {whole.seconds:.2f} s, "
            f"{whole.lines} lines of the store, {whole.written} bytes; seed {asked.seed}"
        )
        shop = day.new_shop(Path(place) / "shop").folder
        lefts = [kill_at(day, shop, kill, whole) for kill in moments(asked.seed, asked.kills)]
        print(  # noqa: T201
            "way     tried  killed  made  acknowledged   found  more  torn  finished"
            "  open ms    max"
        )
        for way in WAYS:
            told([each for each in lefts if each.kill.way == way], way)
        told(lefts, "all")
        losses = [f"{left.kill}: {loss}" for left in lefts for loss in left.losses]
        losses += what_is_wrong(shop, datetime.now(UTC))
    for loss in losses:
        print(f"LOST {loss}")  # noqa: T201
    print(f"{len(losses)} losses in {time.perf_counter() - begun:.0f} s")  # noqa: T201
    return 1 if losses else 0


if __name__ == "__main__":
    sys.exit(main())
