"""What an audit costs, as ratios to a bare program on the same files; it prints its figures.

    python tests/bench/audit.py [--jobs 400] [--long] [--folder FOLDER]

The shop is invented, see many_jobs.py: by default of lamp jobs with 19 events, with --long of
receiver jobs with some hundreds. With --folder it is made there, or used again if it is there.

The bare programs run in one process: the one reads every file of every job, hashes it and parses
journal and record with the quickest parser that is installed; the other only reads and hashes. One
process is measured by its processor time, so that whatever else the machine does counts little; two
are measured by the clock, and so is the bare program that they are held against. Peak memory is
that of processes begun for it, as the system counts it.
"""

import argparse
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from baycompanion.audit.choice import Choice
from baycompanion.audit.reading.all_jobs import Trust, Way
from baycompanion.audit.reading.index import NAME, TICK
from baycompanion.audit.reading.readers import Readers
from baycompanion.audit.shop import audit_shop
from baycompanion.store.job import journal

try:
    from orjson import loads

    PARSER = "orjson"
except ImportError:
    from pydantic_core import from_json as loads

    PARSER = "pydantic_core"


def say(text: str) -> None:
    print(text, flush=True)  # noqa: T201


# --- the bare programs --------------------------------------------------------------------------


def files_of(shop: Path) -> Iterator[Path]:
    """Yield the files that an audit reads of every job."""
    for job in sorted((shop / "jobs").iterdir()):
        yield from (job / name for name in (journal.NAME, "record.json", "procedure.yaml"))
        photos = job / "photos"
        yield from sorted(photos.iterdir()) if photos.is_dir() else ()


def hash_alone(shop: Path) -> None:
    for path in files_of(shop):
        hashlib.sha256(path.read_bytes()).hexdigest()


def hash_and_parse(shop: Path) -> None:
    for path in files_of(shop):
        content = path.read_bytes()
        hashlib.sha256(content).hexdigest()
        if path.name == journal.NAME:
            for line in content.splitlines():
                loads(line)
        elif path.name == "record.json":
            loads(content)


# --- the audit ----------------------------------------------------------------------------------


def audit(shop: Path, trust: Trust, processes: int = 1) -> int:
    """Audit `shop` and return how many findings there are."""
    with Readers(processes) as readers:
        return sum(1 for _ in audit_shop(shop, Choice(), way=Way(readers, trust))) - 1


@dataclass
class Took:
    """Seconds that something took."""

    clock: float
    processor: float


def timed(act: Callable[[], object]) -> Took:
    clock, processor = time.perf_counter(), time.process_time()
    act()
    return Took(time.perf_counter() - clock, time.process_time() - processor)


def first(shop: Path, processes: int) -> Took:
    (shop / NAME).unlink(missing_ok=True)
    return timed(lambda: audit(shop, "stamps", processes))


def touched(shop: Path) -> Path:
    """Return `shop`, of which the files of one job are of now: it is read anew, and kept again."""
    for path in sorted((shop / "jobs").iterdir())[0].iterdir():
        if path.is_file():
            os.utime(path)
    time.sleep(TICK / 1e9 + 0.1)
    return shop


PEAK = """
import resource, sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from audit import audit
audit(Path(sys.argv[2]), sys.argv[3])
told = Path("/proc/self/status")  # the other way counts the process that began this one, too
if told.exists():
    print(int(told.read_text().partition("VmHWM:")[2].split()[0]) * 1024)
else:
    unit = 1 if sys.platform == "darwin" else 1024
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit)
"""


def peak(shop: Path, trust: Trust) -> float:
    """Return the peak memory, in MB, of a process that audits `shop`."""
    here = str(Path(__file__).parent)
    command = [sys.executable, "-c", PEAK, here, str(shop), trust]
    return int(subprocess.run(command, capture_output=True, check=True).stdout) / 1e6


def part_of(shop: Path, folder: Path, jobs: int) -> Path:
    """Return a shop in `folder` with the first so many jobs of `shop`, its files by another name.

    A folder behind a link would be refused, which takes no memory at all.
    """
    (folder / "jobs").mkdir(parents=True)
    named = {path.name for path in sorted((shop / "jobs").iterdir())[:jobs]}
    for name in named:
        shutil.copytree(shop / "jobs" / name, folder / "jobs" / name, copy_function=os.link)
    lines = (shop / "ledger.jsonl").read_bytes().splitlines(keepends=True)
    meant = {None, *named}
    kept = [line for line in lines if json.loads(line)["data"].get("job") in meant]
    (folder / "ledger.jsonl").write_bytes(b"".join(kept))
    return folder


def measure(shop: Path) -> None:
    """Print all figures of `shop`."""
    jobs = len(list((shop / "jobs").iterdir()))
    size = sum(path.stat().st_size for path in files_of(shop))
    say(f"{jobs} jobs, {size / jobs / 1000:.0f} kB each; quickest parser: {PARSER}.")
    hash_and_parse(shop)  # so that all of it is in the system's memory
    bare = timed(lambda: hash_and_parse(shop))
    hashing = timed(lambda: hash_alone(shop)).processor
    nothing = timed(lambda: audit(shop, "nothing")).processor
    one = first(shop, 1).processor
    second = timed(lambda: audit(shop, "stamps")).processor
    one_anew = timed(lambda: audit(touched(shop), "stamps")).processor
    thorough = timed(lambda: audit(shop, "hashes")).processor
    two = first(shop, 2).clock
    _tell("read, hash, parse", bare.processor, jobs)
    _tell("read, hash", hashing, jobs)
    _tell("audit, no index", nothing, jobs, f"{bare.processor / nothing:.2f} of reading, parsing")
    _tell("first, 1 process", one, jobs, f"{bare.processor / one:.2f} of it (wanted: 0.25)")
    _tell("first, 2 processes", two, jobs, f"{bare.clock / two:.2f} of it (wanted: 0.45)")
    _tell("second, all known", second, jobs, f"1/{one / second:.0f} of the first (wanted: 1/50)")
    _tell("one of them new", one_anew, jobs, f"1/{one / one_anew:.0f} of the first")
    _tell("thorough", thorough, jobs, f"{thorough / hashing:.2f} times hashing (wanted: 1.5)")
    say(f"  index: {(shop / NAME).stat().st_size / jobs / 1000:.1f} kB for each job")
    with tempfile.TemporaryDirectory(dir=shop.parent) as scratch:
        few = part_of(shop, Path(scratch) / "few", max(1, jobs // 10))
        say("Peak memory, MB (wanted: flat):")
        for trust in ("nothing", "stamps"):
            told = (f"{peak(each, trust):.0f}" for each in (few, shop))
            say(f"  {trust:8} {jobs // 10} jobs: {next(told)}, {jobs} jobs: {next(told)}")


def _tell(what: str, seconds: float, jobs: int, ratio: str = "") -> None:
    say(f"  {what:<18} {seconds:7.2f} s {jobs / seconds:7.0f} jobs/s   {ratio}".rstrip())


def main() -> None:
    """Make the shop where it is not there, and measure."""
    told = argparse.ArgumentParser(description="What an audit costs.")
    told.add_argument("--jobs", type=int, default=400)
    told.add_argument("--long", action="store_true")
    told.add_argument("--folder", type=Path)
    asked = told.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        shop = asked.folder or Path(scratch) / "shop"
        if not shop.exists():
            from many_jobs import make  # not at the top, which other processes read, too

            took = timed(lambda: make(shop, asked.jobs, asked.long))
            say(f"Making {asked.jobs} jobs took {took.clock:.0f} s.")
            time.sleep(TICK / 1e9 + 0.1)
        measure(shop)


if __name__ == "__main__":
    main()
