"""What reading a trainee's past costs, against parsing the same records; it prints its figures.

    python tests/bench/done_right.py [--jobs 60] [--folder FOLDER]

The shop is invented, see many_jobs.py: long receiver jobs, all of one person.
"""

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import islice
from pathlib import Path

from many_jobs import make

from baycompanion.store.job.done_right import LEAST_READ, done_right
from baycompanion.store.job.folder import read_job


def _seconds(act: Callable[[], object]) -> float:
    times = []
    for _ in range(3):
        begun = time.process_time()
        act()
        times.append(time.process_time() - begun)
    return min(times)


def measure(shop: Path) -> None:
    """Print what reading costs, and what parsing the records alone does."""
    jobs = shop / "jobs"
    records = sorted(jobs.glob("*/record.json"), reverse=True)
    job = read_job(records[0].parent)
    who, named = job.state.technician, job.state.opened.procedure

    def parse() -> None:
        for record in islice(records, LEAST_READ):
            json.loads(record.read_bytes())

    past = done_right(jobs, named, who, 3)
    read = _seconds(lambda: done_right(jobs, named, who, 3))
    bare = _seconds(parse)
    size = records[0].stat().st_size // 1000
    say = f"{len(past)} of {len(records)} jobs, {size} kB each: {read:.2f} s to read how steps were"
    sys.stdout.write(f"{say} done, {bare:.2f} s to parse the same records, {read / bare:.1f} x\n")


def main() -> None:
    """Make the shop where it is not there, and measure."""
    told = argparse.ArgumentParser(description="What reading a trainee's past costs.")
    told.add_argument("--jobs", type=int, default=60)
    told.add_argument("--folder", type=Path)
    asked = told.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        shop = asked.folder or Path(scratch) / "shop"
        if not shop.exists():
            make(shop, asked.jobs, long=True)
        measure(shop)


if __name__ == "__main__":
    main()
