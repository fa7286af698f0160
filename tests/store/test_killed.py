"""A process killed at seeded moments, and laptops whose steps are interleaved: the short form.

The long form prints figures: `tests/bench/kills.py`, `tests/bench/interleavings.py`.
"""

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from bay import LISTS, START, T1
from killed import losses_of
from on_disk import walked_on_disk
from shop_whole import what_is_wrong

from baycompanion.job.actions import Abandon
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop

BENCH = Path(__file__).parents[1] / "bench"

forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="the system forks no processes")


def run(name: str, *words: str) -> str:
    """Run a program of the bench in a process of its own; return what it prints."""
    ran = subprocess.run(
        [sys.executable, str(BENCH / name), *words],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return ran.stdout


@forks
def test_what_was_acknowledged_outlives_a_kill_and_the_job_can_be_finished() -> None:
    printed = run("kills.py", "--kills", "18", "--day", "lamp", "--seed", "7")
    [line] = re.findall(r"^all +(.*)$", printed, re.MULTILINE)
    tried, killed, made, acknowledged, found, _, torn, finished, *_ = map(int, line.split())
    assert (tried, found, finished) == (18, acknowledged, made), printed
    assert min(killed, made, torn) > 0, printed
    assert "\n0 losses" in printed


@forks
def test_laptops_at_work_in_one_shop_at_once_leave_ledger_and_index_whole() -> None:
    printed = run("interleavings.py", "--weaves", "4", "--seed", "3")
    # which of them are, hangs on the turns before: a busy machine gives others
    assert re.match("4 interleavings of 4 processes, [1-4] killed; ", printed), printed
    assert "\n0 wrong" in printed


# --- that a loss would be told ------------------------------------------------------------------


def acknowledged(folder: Path) -> list[dict[str, Any]]:
    """Return what a process says that was told of every event in the journal of `folder`."""
    lines = (folder / NAME).read_bytes().splitlines()
    return [{"events": n, "head": json.loads(line)["hash"]} for n, line in enumerate(lines, 1)]


def test_an_acknowledged_event_that_is_gone_torn_or_another_is_a_loss(folder: Path) -> None:
    content = walked_on_disk(folder, "tools")
    said, journal = acknowledged(folder), folder / NAME
    assert losses_of(journal, said) == []
    last = len(said)
    journal.write_bytes(content[:-1])
    assert losses_of(journal, said) == [f"event {last} was acknowledged and is not there"]
    journal.write_bytes(content)
    other = [*said[:-1], {**said[-1], "head": "0" * 64}]
    assert losses_of(journal, other) == [f"event {last} was acknowledged and is another one now"]
    journal.write_bytes(content.replace(b"Blue van", b"Grey van"))
    assert len(losses_of(journal, said)) == last


def test_a_ledger_that_lacks_a_job_or_has_it_twice_is_told(shop: Shop, folder: Path) -> None:
    job = OpenJob(folder, LISTS, T1, START)
    job.act(Abandon(abandon="the owner took the van"), T1, START)
    job.leave()
    assert what_is_wrong(shop.folder, START) == []
    ledger = shop.folder / "ledger.jsonl"
    content = ledger.read_bytes()
    last = content.splitlines(keepends=True)[-1]
    ledger.write_bytes(content + last)
    assert any("the ledger is not whole" in each for each in what_is_wrong(shop.folder, START))
    ledger.write_bytes(content.replace(last, b""))
    assert what_is_wrong(shop.folder, START) == [], "it is entered when the board opens"
