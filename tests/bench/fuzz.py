"""Feeds every parser with anything whatever, for as long as a night: what came of it, in figures.

.venv/bin/python -m pip install --editable '.[fuzz]'     # Linux; without it nothing guides
.venv/bin/python tests/bench/fuzz.py                     # 200,000 inputs
.venv/bin/python tests/bench/fuzz.py --inputs 20000 --seed 7
.venv/bin/python tests/bench/fuzz.py --target journal --inputs 50000

Where `atheris` is installed it guides: an input that reaches an edge of the code which none has
reached before is kept, and changed further. The changes themselves are those of
`tests/fuzz/mutations.py`, which know how the files are built, and for each fifth input its own.
Each target has a process of its own, with bounded memory. The exit code is 1 where a parser did
anything but read or refuse, or took longer than it may; the input then lies in `--failures`. Put
what was mended into `tests/fuzz/corpus/TARGET/`, where every run of the tests feeds it again.
"""
# ruff: noqa: T201

import argparse
import contextlib
import json
import re
import resource
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path
from random import Random
from typing import Any

TESTS = Path(__file__).parents[1]
ROOT = TESTS.parent
sys.path[:0] = [str(ROOT), str(TESTS), str(TESTS / "fuzz")]

LONGEST_TIME = 10.0
"""Seconds of the processor that one input may take. Own choice: somebody waits for so long once."""

MOST_MEMORY = 2048
"""Megabytes that reading anything may take, the fuzzer itself included."""

LINE = "{:<12}{:>9}{:>9}{:>9}{:>8}{:>9}{:>9}{:>12}{:>8}"


@dataclass
class Told:
    """What one target told."""

    inputs: int = 0
    read: int = 0
    refused: int = 0
    failed: int = 0
    slowest: float = 0.0
    """Seconds of the processor."""
    peak: int = 0
    """Megabytes."""
    kinds: dict[str, str] = field(default_factory=dict)
    """For each kind of failure, the file that holds its first input."""


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--inputs", type=int, default=200_000, help="of all targets together")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--target", action="append", help="only this one; may be given again")
    parser.add_argument("--failures", default="fuzz-failures", help="folder for failing inputs")
    parser.add_argument("--one", help=argparse.SUPPRESS)
    parser.add_argument("--tell", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        return _run_one(asked.one, asked.inputs, asked.seed, Path(asked.failures), Path(asked.tell))
    return _run_all(asked)


def _run_all(asked: argparse.Namespace) -> int:
    from targets import TARGETS

    names = asked.target or list(TARGETS)
    shares = sum(TARGETS[name].share for name in names)
    print(LINE.format("", "inputs", "read", "refused", "edges", "kept", "failed", "slowest", "MB"))
    whole, failed, edges, begun = 0, 0, 0, time.monotonic()
    for name in names:
        count = -(-asked.inputs * TARGETS[name].share // shares)
        told, reached, kept, ended_well = _in_a_process(name, count, asked)
        slow = told.slowest > LONGEST_TIME
        counts = (told.inputs, told.read, told.refused, reached, kept, told.failed)
        row = [*(f"{number:,}" for number in counts), f"{told.slowest:.2f} s", f"{told.peak:,}"]
        print(LINE.format(name, *row), flush=True)
        for kind, file in told.kinds.items():
            print(f"  {kind}: {file}")
        if not ended_well:
            print(f"  {name} did not come to its end")
        whole, edges = whole + told.inputs, edges + reached
        failed += told.failed + slow + (not ended_well)
    took = time.monotonic() - begun
    print(f"{whole:,} inputs, {edges:,} edges of the code, {failed} failures, {took / 60:.0f} min")
    with contextlib.suppress(OSError):  # it stays where something lies in it
        Path(asked.failures).rmdir()
    return 1 if failed else 0


def _in_a_process(name: str, count: int, asked: argparse.Namespace) -> tuple[Told, int, int, bool]:
    """Return what the target told, the edges it reached, the inputs kept, and whether it ended."""
    with tempfile.TemporaryDirectory() as folder:
        tell = Path(folder) / "told.json"
        words = ["--one", name, "--inputs", str(count), "--seed", str(asked.seed)]
        words += ["--failures", asked.failures, "--tell", str(tell)]
        ran = subprocess.run(
            [sys.executable, __file__, *words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            errors="replace",
            check=False,
        )
        told = Told(**json.loads(tell.read_text())) if tell.exists() else Told()
    found = re.findall(r"cov: (\d+) ft: \d+ corp: (\d+)", ran.stderr)
    reached, kept = map(int, found[-1]) if found else (0, 0)
    ended_well = ran.returncode == 0 and told.inputs >= count
    if not ended_well:
        print(ran.stderr[-2000:], file=sys.stderr)
    return told, reached, kept, ended_well


# --- in the process of one target --------------------------------------------------------------


def _run_one(name: str, count: int, seed: int, failures: Path, tell: Path) -> int:
    atheris = _atheris()
    with atheris.instrument_imports(include=["baycompanion"]) if atheris else _nothing():
        from ground import make_ground
        from mutations import LONGEST, mutated
        from targets import TARGETS
    target = TARGETS[name]
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        ground = make_ground(Path(folder) / "shop")
        seeds = [*target.seeds(ground), *_corpus(name)]
        feeding = _Feeding(name, lambda each: target.read(ground, each), count, failures, tell)
        if atheris is None:
            random = Random(seed)
            for number in range(count):
                known = number < len(seeds)
                chosen = seeds[number] if known else random.choice(seeds)
                feeding.feed(chosen if known else mutated(random, target.kind, chosen, seeds))
            return 0
        kept = Path(folder) / "kept"
        kept.mkdir()
        failures.mkdir(exist_ok=True)
        for number, content in enumerate(seeds):
            (kept / f"seed-{number}").write_bytes(content)

        def change(content: bytes, most: int, drawn: int) -> bytes:
            random = Random(drawn)
            if random.random() < 1 / 2:  # what is kept is refused, mostly: begin from what is whole
                content = random.choice(seeds)
            if random.random() < 1 / 5:
                return bytes(atheris.Mutate(content, most))
            return mutated(random, target.kind, content, seeds)[:most]

        words = [f"-runs={count}", f"-seed={seed}", f"-max_len={LONGEST}", "-mutate_depth=1"]
        words += ["-timeout=120", f"-rss_limit_mb={MOST_MEMORY}", f"-artifact_prefix={failures}/"]
        atheris.Setup([name, *words, str(kept)], feeding.feed, custom_mutator=change)
        atheris.Fuzz()  # leaves the process
    return 0


class _Feeding:
    """One target being fed: what came of it so far, told in a file now and then."""

    def __init__(
        self,
        name: str,
        read: Callable[[bytes], object],
        count: int,
        failures: Path,
        tell: Path,
    ) -> None:
        self._name, self._read, self._count = name, read, count
        self._failures, self._tell = failures, tell
        self.told = Told()

    def feed(self, content: bytes) -> None:
        """Feed `content`, and count what came of it; a failure is kept, and ends nothing."""
        from refusals import outcome_of

        told, begun = self.told, time.process_time()
        told.inputs += 1
        try:
            outcome = outcome_of(self._read, content)
        except Exception as error:
            told.failed += 1
            self._keep(_kind_of(error), content)
        else:
            told.read += outcome == "read"
            told.refused += outcome == "refused"
        took = time.process_time() - begun
        if took > LONGEST_TIME:
            self._keep("too slow", content)
        told.slowest = max(told.slowest, took)
        if told.inputs % 200 == 0 or told.inputs >= self._count:
            told.peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
            self._tell.write_text(json.dumps(asdict(told)))

    def _keep(self, kind: str, content: bytes) -> None:
        """Keep the first input of each kind of failure."""
        if kind not in self.told.kinds:
            self._failures.mkdir(exist_ok=True)
            path = self._failures / f"{self._name}-{len(self.told.kinds) + 1}"
            path.write_bytes(content)
            self.told.kinds[kind] = str(path)


def _kind_of(error: Exception) -> str:
    """Return what was raised, and where: failures that share both are one."""
    frames = traceback.extract_tb(error.__traceback__)[-3:]
    places = " < ".join(f"{Path(each.filename).name}:{each.lineno}" for each in reversed(frames))
    return f"{type(error).__name__} at {places}"


def _corpus(name: str) -> list[bytes]:
    """Return the inputs that are kept of a target."""
    folder = TESTS / "fuzz" / "corpus" / name
    return [path.read_bytes() for path in sorted(folder.iterdir())] if folder.is_dir() else []


def _atheris() -> Any:
    try:
        import atheris
    except ImportError:
        return None
    return atheris


@contextlib.contextmanager
def _nothing() -> Iterator[None]:
    yield


if __name__ == "__main__":
    sys.exit(main())
