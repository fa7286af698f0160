"""What a long log of answers costs: one more answer, reading it, the board's count, the replay.

.venv/bin/python tests/bench/recalls.py
.venv/bin/python tests/bench/recalls.py --answers 20000
"""

import argparse
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.moment import write_moment
from baycompanion.learning.drill.recalls import KINDS, Recalled, RecallsBegun
from baycompanion.learning.drill.schedule import replay
from baycompanion.store.chained_log import append_to_log
from baycompanion.store.recalls import due_counts, keep_recall, read_recalls, recalls_path

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
CARDS = 200
"""Cards of the invented deck."""


def recall(number: int) -> Recalled:
    return Recalled(
        procedure="lamp",
        revision=1,
        card=f"lamp/{number % CARDS}",
        face=f"{number % CARDS:064}",
        asked="next",
        phase="fit",
        right=number % 7 != 0,
        rating="good" if number % 7 else "again",
        given=["lamp-in"],
        due=write_moment(NOW + timedelta(days=number % 40)),
    )


def told(what: str, answers: int, does: Callable[[], object]) -> None:
    begun = time.perf_counter()
    does()
    took = time.perf_counter() - begun
    print(f"{what:<26}{took * 1000:8.1f} ms  {took / answers * 1e6:6.1f} us an answer")  # noqa: T201


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--answers", type=int, default=10_000)
    many = parser.parse_args().answers
    with tempfile.TemporaryDirectory() as folder:
        shop, who = Path(folder), Person("T3", "trainee")
        path = recalls_path(shop, who.id)
        path.parent.mkdir(parents=True)
        append_to_log(path, KINDS, [recall(n) for n in range(many)], who.id, NOW, RecallsBegun())
        print(f"{many} answers to {CARDS} cards, {path.stat().st_size / 1e6:.1f} MB")  # noqa: T201
        told("one more answer", many, lambda: keep_recall(shop, who, recall(0), NOW))
        told("read and checked", many, lambda: read_recalls(shop, who.id))
        told("counted for the board", many, lambda: due_counts(shop, NOW))
        events = read_recalls(shop, who.id)
        told("replayed", many, lambda: replay(events, NOW))


if __name__ == "__main__":
    main()
