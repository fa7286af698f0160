"""Several processes at work in one shop folder, their steps put in a seeded order.

Each process stands for a laptop on a shared folder. It stops before every few lines of the store's
own code until it is told to go on, and which one goes on is drawn; so the same seed gives the same
order, as far as the processes do not wait for each other's locks. One that waits for a lock is
passed over until it stops again. Some are killed on the way, as a laptop is whose battery is empty.
"""

import os
import random
import select
import signal
import sys
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from types import FrameType
from typing import Any

import filelock
from bay import keys_in

import baycompanion.audit
import baycompanion.store
from baycompanion.audit.choice import Choice
from baycompanion.audit.reading.all_jobs import Way
from baycompanion.audit.reading.readers import Readers
from baycompanion.audit.shop import audit_shop
from baycompanion.job.actions import Abandon, Accept, Note
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.events.carried import Vehicle
from baycompanion.procedure.load import Loaded
from baycompanion.store.durable import made_again_at_will
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.ledger.entering import enter_missing
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.trouble import StoreTrouble

WATCHED = tuple(
    str(Path(package.__file__ or "").parent) for package in (baycompanion.store, baycompanion.audit)
)
STUCK = 60
"""Seconds without a word from any process after which they count as stuck."""
A_MOMENT = 0.004
"""Seconds in which one that goes on stops again, unless it waits for somebody."""

WHEN = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
Work = Callable[[], None]


@dataclass(slots=True)
class Woven:
    """What came of one interleaving."""

    seed: int
    turns: int = 0
    """How often one was told to go on."""
    switches: int = 0
    """How often it was another one than before."""
    killed: int = 0
    troubles: list[str] = field(default_factory=list)
    """What a process was told; nobody should be told anything."""
    wrong: list[str] = field(default_factory=list)


@dataclass(slots=True)
class _Laptop:
    pid: int
    said: int
    """Where it says that it has stopped."""
    told: int
    """Where it is told to go on."""
    stopped: bool = False


def weave(works: list[Work], seed: int, every: int, kills: bool) -> Woven:
    """Let `works` be done at once, each in a process that stops after `every` lines.

    With `kills`, one of them may be killed at some moment.
    """
    woven, drawn = Woven(seed), random.Random(seed)
    laptops = [_begin(work, every) for work in works]
    doomed = drawn.choice(laptops) if kills else None
    dies_at = drawn.randrange(1, 160)
    before = None
    while laptops:
        _hear(laptops, woven, STUCK if not any(each.stopped for each in laptops) else 0)
        ready = [each for each in laptops if each.stopped]
        if not ready:
            continue
        woven.turns += 1
        if doomed in laptops and woven.turns >= dies_at:
            os.kill(doomed.pid, signal.SIGKILL)
            woven.killed += 1
            _hear(laptops, woven, STUCK)
            continue
        one = drawn.choice(ready)
        woven.switches += one is not before
        before = one
        one.stopped = False
        os.write(one.told, b"g")
        _hear(laptops, woven, A_MOMENT)
    return woven


def _hear(laptops: list[_Laptop], woven: Woven, patience: float) -> None:
    """Take in what the processes say, for as long as none says anything; forget those that ended.

    Raises:
        RuntimeError: They are stuck.
    """
    heard, _, _ = select.select([each.said for each in laptops], [], [], patience)
    if not heard and patience == STUCK:
        raise RuntimeError(f"seed {woven.seed}: the processes wait for each other")
    for each in [each for each in laptops if each.said in heard]:
        said = os.read(each.said, 65_536)
        if said == b"s":
            each.stopped = True
        elif said:
            woven.troubles.append(said.decode(errors="replace").lstrip("s"))
            each.stopped = b"s" in (said[:1], said[-1:])
        else:
            os.close(each.said)
            os.close(each.told)
            os.waitpid(each.pid, 0)
            laptops.remove(each)


def _begin(work: Work, every: int) -> _Laptop:
    """Fork a process that does `work`, stopping after every so many lines."""
    said, say = os.pipe()
    hear, told = os.pipe()
    sys.stdout.flush()
    pid = os.fork()
    if pid == 0:
        os.close(said)
        os.close(told)
        _work(work, every, say, hear)
    os.close(say)
    os.close(hear)
    return _Laptop(pid, said, told)


def _work(work: Work, every: int, say: int, hear: int) -> None:
    """Do `work`, stopping where the one who draws says so; never return."""
    lines = 0

    def at_line(frame: FrameType, event: str, _: Any) -> Any:
        nonlocal lines
        lines += event == "line"
        if event == "line" and lines % every == 0:
            os.write(say, b"s")
            if not os.read(hear, 1):
                os._exit(1)
        return at_line

    def at_call(frame: FrameType, event: str, _: Any) -> Any:
        return at_line if frame.f_code.co_filename.startswith(WATCHED) else None

    # Whoever waits for a lock looks again at once, so that it takes its turn as soon as it may.
    filelock.FileLock = partial(filelock.FileLock, poll_interval=0.001)  # type: ignore[misc,assignment]
    try:
        sys.settrace(at_call)
        with made_again_at_will():
            work()
        sys.settrace(None)
    except StoreTrouble as trouble:
        os.write(say, f"{trouble}".encode())
    except BaseException:
        os.write(say, traceback.format_exc()[-4000:].encode())
    finally:
        os._exit(0)


# --- what a laptop does -------------------------------------------------------------------------


def ends_jobs(shop: Path, loaded: Loaded, who: Person, name: str, jobs: int) -> Work:
    """Begin jobs and end them, one after the other."""

    def work() -> None:
        opened = open_shop(shop)
        for number in range(jobs):
            end_job(opened, loaded, who, f"{name} {number}")

    return work


def end_job(shop: Shop, loaded: Loaded, who: Person, order: str) -> None:
    """Begin a job, write something in it, and end it."""
    folder = make_job(shop.jobs, loaded, keys_in(order, Vehicle(description="van"), who, WHEN))
    job = OpenJob(folder, shop.lists, who, WHEN)
    try:
        for minute, action in enumerate(
            (Accept(accept="hazards"), Note(note=order), Abandon(abandon="the owner took it"))
        ):
            result = job.act(action, who, WHEN + timedelta(minutes=minute))
            assert not isinstance(result, Refused), result
    finally:
        job.leave()


def looks_at_the_board(shop: Path, times: int) -> Work:
    """Enter what has ended and was left out, as the board does when it opens."""

    def work() -> None:
        for _ in range(times):
            enter_missing(shop, WHEN)

    return work


def audits(shop: Path, times: int) -> Work:
    """Audit by the index, and keep what is found in it."""

    def work() -> None:
        for _ in range(times):
            for _ in audit_shop(shop, Choice(), None, Way(Readers(processes=1), "stamps")):
                pass

    return work
