"""Opening a job, against parsing its lines with the standard library and checking their hashes.

    python tests/bench/opening.py [--pairs 15]

Opening reads the journal, holds each line against the models and the chain, and folds it. What
else an open job needs, its procedure, is measured by loading.py, and is shown here once with it.
Growth is shown over 50, 500 and 5,000 events.
"""

import argparse
import hashlib
import json
import tempfile
from datetime import timedelta
from pathlib import Path

from long_procedure import START, T1, begin_job, good_actions, shop_for
from pairs import in_pairs, say, spread, timed

from baycompanion.job.actions import Note
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.state.fold import fold_all
from baycompanion.store.durable import made_again_at_will
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.journal import NAME, read_journal
from baycompanion.store.job.open_job import OpenJob

STEPS = 150


def job_with(folder: Path, events: int) -> Path:
    """Play a job in a new shop until it has so many events; past its steps, notes are written."""
    shop = shop_for(folder)
    with made_again_at_will():
        path = begin_job(shop, STEPS)
        job = OpenJob(path, shop.lists, T1, START)
        when = START
        while len(job.events) < events:
            if job.state.current == f"step-{STEPS - 1}":
                job.act(Note(note="A lamp more was asked for, and is not fitted."), T1, when)
                continue
            when += timedelta(seconds=20)
            step = int((job.state.current or "").removeprefix("step-"))
            for action in good_actions(step):
                done = job.act(action, T1, when)
                assert not isinstance(done, Refused), done
        job.leave()
    return path


def bare(path: Path) -> None:
    """Parse every line and check its hash and its tie, as plainly as the library lets one."""
    before = "0" * 64
    for line in (path / NAME).read_bytes().splitlines():
        event = json.loads(line)
        said = event.pop("hash")
        content = json.dumps(event, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        assert event["prev"] == before
        assert hashlib.sha256(content.encode()).hexdigest() == said
        before = said


def main() -> None:
    """Measure three sizes."""
    told = argparse.ArgumentParser(description="Opening a job.")
    told.add_argument("--pairs", type=int, default=15)
    asked = told.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        for events in (50, 500, 5000):
            path = job_with(Path(scratch) / str(events), events)
            pairs = max(3, asked.pairs * 50 // max(50, events // 10))
            measured = in_pairs(
                lambda path=path: timed(lambda: fold_all(read_journal(path / NAME).events)),
                lambda path=path: timed(lambda: bare(path)),
                pairs,
            )
            measured.told(f"Journal of {events} events, read and folded", "2 times at most")
            each = [took.processor / events for took in measured.ours]
            say(f"  for each event {spread(each)}")
            if events <= 500:
                whole = [timed(lambda path=path: read_job(path)).processor for _ in range(pairs)]
                say(f"  with its procedure, by the processor {spread(whole)}")


if __name__ == "__main__":
    main()
