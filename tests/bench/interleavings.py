"""Laptops on one shared folder, their steps interleaved by seed; ledger and index stay whole.

.venv/bin/python tests/bench/interleavings.py
.venv/bin/python tests/bench/interleavings.py --weaves 1000 --seed 2

In each interleaving two laptops begin and end jobs of their own, a third opens its board, which
enters what was left out, and a fourth audits by the index. In every third one, one of them is
killed on the way; in every second one the shop has ended jobs and no ledger yet, which all of them
find at once. Afterwards the chain of the ledger is read by other libraries, every ended job must be
entered exactly once, and an audit by the index must find what one without it does. The exit code is
1 where anything is not so. Processes are forked, so this runs where the system can fork.
"""

import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bay import LISTS, T1, T2, load_small
from interleaved import WHEN, Woven, audits, end_job, ends_jobs, looks_at_the_board, weave
from shop_whole import audited_alike, what_is_wrong

from baycompanion.store.durable import made_again_at_will
from baycompanion.store.shop import open_shop

STAFF = "staff:\n" + "".join(
    f"  - {{id: {each.id}, role: {each.role}}}\n" for each in LISTS.staff.values()
)


def one_weave(shop: Path, seed: int) -> Woven:
    """Interleave what four laptops do in a new shop in the folder `shop`."""
    shop.mkdir()
    (shop / "staff.yaml").write_text(STAFF, encoding="utf-8")
    loaded, opened = load_small(), open_shop(shop)
    if seed % 2:
        with made_again_at_will():
            for number in range(2):
                end_job(opened, loaded, T1, f"before {number}")
        (shop / "ledger.jsonl").unlink()
    works = [
        ends_jobs(shop, loaded, T1, "left", 2),
        ends_jobs(shop, loaded, T2, "right", 2),
        looks_at_the_board(shop, 2),
        audits(shop, 1),
    ]
    woven = weave(works, seed, every=3 + seed % 23, kills=seed % 3 == 0)
    woven.wrong += [f"somebody was told: {each}" for each in woven.troubles]
    with made_again_at_will():
        woven.wrong += what_is_wrong(shop, WHEN)
        woven.wrong += audited_alike(shop)
    return woven


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--weaves", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    begun, done, entries = time.perf_counter(), [], 0
    for number in range(asked.weaves):
        with tempfile.TemporaryDirectory() as place:
            done.append(one_weave(Path(place) / "shop", asked.seed * 1_000_000 + number))
            entries += (Path(place) / "shop" / "ledger.jsonl").read_bytes().count(b"\n")
    wrong = [f"seed {each.seed}: {what}" for each in done for what in each.wrong]
    print(  # noqa: T201
        f"{len(done)} interleavings of 4 processes, {sum(each.killed for each in done)} killed; "
        f"{sum(each.turns for each in done)} turns, {sum(each.switches for each in done)} to "
        f"another process, {statistics.median(each.switches for each in done):.0f} of them in one "
        f"interleaving; {entries} entries, each job once"
    )
    for each in wrong:
        print(f"WRONG {each}")  # noqa: T201
    print(f"{len(wrong)} wrong in {time.perf_counter() - begun:.0f} s")  # noqa: T201
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
