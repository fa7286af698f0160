"""An answered step made durable, against writing and flushing the same bytes to an open file.

    python tests/bench/durable_step.py [--pairs 300] [--folder FOLDER]

The first part measures `JournalWriter.append` alone, which turns events into lines, looks that
nobody else wrote, writes and flushes. The second measures a whole answered step as the screens make
it, decision and fold included, in an empty job and in ones with more and more events.

With --folder, the files lie there: a folder in memory shows what the program adds to a flush.
"""

import argparse
import os
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

from long_procedure import START, T1, begin_job, shop_for
from pairs import Took, in_pairs, timed

from baycompanion.job.actions import Answer, Note
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.chain import canonical
from baycompanion.store.job.journal import NAME, JournalWriter, read_journal
from baycompanion.store.job.open_job import OpenJob


def bare_writer(path: Path, lines: bytes) -> Iterator[Took]:
    """Yield what each write and flush of `lines` to one open file takes."""
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def write() -> None:
        os.write(descriptor, lines)
        os.fsync(descriptor)

    try:
        while True:
            yield timed(write)
    finally:
        os.close(descriptor)


def append_alone(folder: Path, pairs: int) -> None:
    """Measure the append of the two events of an answered step."""
    shop = shop_for(folder)
    job = begin_job(shop, 10, only=0)
    opened = OpenJob(job, shop.lists, T1, START)
    opened.act(Answer(answer="step-0"), T1, START)
    events = opened.events[-2:]
    opened.leave()
    lines = b"".join(canonical(event.as_dict()) + b"\n" for event in events)
    path = job / NAME
    bare = bare_writer(folder / "bare", lines)
    with closing(JournalWriter(path, path.stat().st_size)) as writer:
        measured = in_pairs(lambda: timed(lambda: writer.append(events)), lambda: next(bare), pairs)
    measured.told(f"Two events, {len(lines)} bytes, appended", "1.3 times at most")


def whole_step(folder: Path, before: int, pairs: int) -> None:
    """Measure an answered step in a job that has so many events already."""
    shop = shop_for(folder)
    path = begin_job(shop, 2 * pairs + 4, only=0)
    job = OpenJob(path, shop.lists, T1, START)
    when = START
    while len(job.events) < before:
        assert not isinstance(job.act(Note(note="A note."), T1, when), Refused)
    size = (path / NAME).stat().st_size
    job.act(Answer(answer="step-0"), T1, when)
    lines = b"x" * ((path / NAME).stat().st_size - size)
    bare = bare_writer(folder / "bare", lines)

    def ours() -> Took:
        nonlocal when
        when += timedelta(seconds=20)
        action = Answer(answer=job.state.current or "")
        return timed(lambda: job.act(action, T1, when))

    in_pairs(ours, lambda: next(bare), pairs).told(
        f"A whole answered step after {len(job.events)} events", "the same after any number"
    )
    assert len(read_journal(path / NAME).events) == len(job.events)
    job.leave()


def main() -> None:
    """Measure both."""
    told = argparse.ArgumentParser(description="An answered step made durable.")
    told.add_argument("--pairs", type=int, default=300)
    told.add_argument("--folder", type=Path)
    asked = told.parse_args()
    with tempfile.TemporaryDirectory(dir=asked.folder) as scratch:
        append_alone(Path(scratch) / "append", asked.pairs)
        for before in (2, 500, 5000):
            whole_step(Path(scratch) / f"after-{before}", before, asked.pairs // 4)


if __name__ == "__main__":
    main()
