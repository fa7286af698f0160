"""A process that plays a script and is killed at a seeded moment, and what is left of its job.

The process is forked, so that hundreds of them take minutes, not hours. It says after every action
what it had been told is on the disk; whatever was said must be there afterwards. It is killed in
one of three ways, each of which finds what the others cannot:

`clock`: from outside, after so many milliseconds; mostly while the disk is asked to flush.
`line`: by itself, at the n-th line of the store's own code; so also between two calls that belong
together, as when a record was renamed and its folder not yet flushed.
`half`: by itself, when so many bytes of what it writes are written; so that a line is torn.
"""

import contextlib
import hashlib
import json
import os
import random
import select
import signal
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from types import FrameType
from typing import Any, Literal

import lamp
import rfc8785

import baycompanion.store
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.moment import read_moment
from baycompanion.play import run
from baycompanion.play.script import Move, ScriptRead, read_script
from baycompanion.store.durable import made_again_at_will
from baycompanion.store.job.folder import has_record
from baycompanion.store.job.journal import JournalWriter
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.ledger.ledger import Ledger
from baycompanion.store.shelf import shipped
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.trouble import StoreTrouble

Way = Literal["clock", "line", "half"]
WAYS: tuple[Way, ...] = ("clock", "line", "half")

DEMO = shipped("demo")
STORE = str(Path(baycompanion.store.__file__).parent)
PATIENCE = 120
"""Seconds after which a process that should have ended counts as stuck."""


@dataclass(frozen=True, slots=True)
class Day:
    """A script, and where it is played."""

    read: ScriptRead
    beside: Path
    """The folder of its pictures."""
    new_shop: Callable[[Path], Shop]
    """Makes a shop with its people in a folder."""


@dataclass(frozen=True, slots=True)
class Kill:
    """One moment: how the process is killed, and when, as a share of a whole run."""

    seed: int
    way: Way
    share: float


@dataclass(slots=True)
class Whole:
    """What a run that nobody kills takes, to draw moments from."""

    seconds: float = 0
    lines: int = 0
    """Lines of the store's own code."""
    written: int = 0
    """Bytes of journal and ledger."""
    events: list[int] = field(default_factory=list)
    """How many events there are after each action."""


@dataclass(slots=True)
class Left:
    """What was left of one job, and what became of it."""

    kill: Kill
    killed: bool
    """Whether the moment came before the script had ended."""
    made: bool = False
    """Whether the job had been made, so that there is anything to open."""
    acknowledged: int = 0
    """Events that the process had been told are on the disk."""
    found: int = 0
    """Events that were there afterwards, of those acknowledged."""
    more: int = 0
    """Events that were there besides: written, but the process died before it was told."""
    torn: int = 0
    """Bytes that were set aside."""
    opened_in: float = 0
    """Seconds until the job was open again."""
    finished: bool = False
    losses: list[str] = field(default_factory=list)
    """What was lost or went wrong, in words; empty as it should be."""


def moments(seed: int, kills: int) -> Iterator[Kill]:
    """Yield so many moments, drawn by `seed`."""
    drawn = random.Random(seed)
    for number in range(kills):
        yield Kill(seed * 1_000_000 + number, WAYS[number % len(WAYS)], drawn.random())


def demo_day(name: str) -> Day:
    """Return the script of the demo of that name."""
    path = DEMO / f"{name}.yaml"
    return Day(read_script(path.read_text(encoding="utf-8"), path.name), DEMO, _demo_shop)


def _demo_shop(folder: Path) -> Shop:
    folder.mkdir(parents=True)
    for file in ("shop.yaml", "staff.yaml"):
        (folder / file).write_bytes((DEMO / "shop" / file).read_bytes())
    return open_shop(folder)


def lamp_day(folder: Path) -> Day:
    """Return a script of six steps, written into `folder` with its picture."""
    path = lamp.write_script(folder)
    return Day(read_script(lamp.SCRIPT, path.name), folder, lamp.make_shop)


# --- the process that is killed -----------------------------------------------------------------


def measure(day: Day, shop: Path) -> Whole:
    """Play the script in a process that nobody kills; return what that takes."""
    whole = Whole()
    begun = time.perf_counter()
    said, _ = _run_killed(day, shop, None, whole)
    whole.events = [each["events"] for each in said if "head" in each]
    whole.seconds = time.perf_counter() - begun
    counts, out = os.pipe()
    child = os.fork()
    if child == 0:
        counted = _Counted()
        with contextlib.suppress(BaseException):
            _count_lines(lambda: counted.add_line())
            _count_bytes(counted)
            _play(day, shop, lambda _: None)
            os.write(out, json.dumps([counted.lines, counted.written]).encode())
        os._exit(0)
    os.close(out)
    with os.fdopen(counts, "rb") as file:
        whole.lines, whole.written = json.loads(file.read())
    os.waitpid(child, 0)
    return whole


def kill_at(day: Day, shop: Path, kill: Kill, whole: Whole) -> Left:
    """Play the script into `shop` in a process that is killed; open and finish what is left."""
    before = set((shop / "jobs").iterdir())
    said, killed = _run_killed(day, shop, kill, whole)
    left = Left(kill, killed)
    new = [path for path in (shop / "jobs").iterdir() if path not in before]
    folder = shop / "jobs" / said[0]["job"] if said else next(iter(new), None)
    if folder is not None and (folder / "journal.jsonl").is_file():
        left.made = True
        _judge(day, shop, folder, said, left, whole)
    elif said:
        left.losses.append("a job that was acknowledged is not there")
    return left


def _run_killed(
    day: Day, shop: Path, kill: Kill | None, whole: Whole
) -> tuple[list[dict[str, Any]], bool]:
    """Return what the process said before it died, and whether it was killed."""
    lines, out = os.pipe()
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        _child(day, shop, kill, whole, out)
    os.close(out)
    if kill is not None and kill.way == "clock":
        time.sleep(kill.share * whole.seconds)
        os.kill(child, signal.SIGKILL)
    with os.fdopen(lines, "rb") as file:
        content = b""
        while select.select([file], [], [], PATIENCE)[0]:
            more = os.read(file.fileno(), 65_536)
            if not more:
                break
            content += more
    _, status = os.waitpid(child, 0)
    if not os.WIFSIGNALED(status) and os.waitstatus_to_exitcode(status) != 0:
        raise RuntimeError(f"the process that plays failed at {kill}")
    whole_lines = content[: content.rfind(b"\n") + 1].splitlines()
    return [json.loads(line) for line in whole_lines], os.WIFSIGNALED(status)


def _child(day: Day, shop: Path, kill: Kill | None, whole: Whole, out: int) -> None:
    """Play, and say after every action what is on the disk; never return."""
    code = 1
    try:
        if kill is not None and kill.way == "line":
            left = _Left(int(kill.share * whole.lines) + 1)
            _count_lines(lambda: left.take(1))
        elif kill is not None and kill.way == "half":
            _count_bytes(_Left(int(kill.share * whole.written) + 1))

        def say(what: dict[str, Any]) -> None:
            os.write(out, json.dumps(what).encode() + b"\n")

        _play(day, shop, say)
        code = 0
    finally:
        os._exit(code)


def _play(day: Day, shop: Path, say: Callable[[dict[str, Any]], None]) -> None:
    act, begin = OpenJob.act, OpenJob.__init__

    def opening(job: OpenJob, folder: Path, *given: Any) -> None:
        say({"job": folder.name, "events": 1})
        begin(job, folder, *given)

    def acting(job: OpenJob, *given: Any) -> Any:
        result = act(job, *given)
        say({"events": job.state.seq, "head": job.state.head})
        return result

    OpenJob.act, OpenJob.__init__ = acting, opening  # type: ignore[method-assign]
    assert day.read.script.start is not None
    run.play(day.read, day.beside, open_shop(shop), day.read.script.start)


class _Counted:
    """Counts lines and bytes, and kills nobody."""

    lines = 0
    written = 0

    def add_line(self) -> None:
        self.lines += 1

    def take(self, many: int) -> int:
        self.written += many
        return many


class _Left(_Counted):
    """What is left until this process kills itself."""

    def __init__(self, many: int) -> None:
        self._many = many

    def take(self, many: int) -> int:
        """Return how many of `many` may still be done; when less, death comes with them."""
        self._many -= many
        if self._many <= 0 and many == 1:
            die()
        return many + min(0, self._many)


def die() -> None:
    """End this process at once, as a power cut would: nothing more is run."""
    os.kill(os.getpid(), signal.SIGKILL)


def _count_lines(seen: Callable[[], object]) -> None:
    """Call `seen` before every line of the store's own code that runs from now on."""

    def at_line(frame: FrameType, event: str, _: Any) -> Any:
        if event == "line":
            seen()
        return at_line

    def at_call(frame: FrameType, event: str, _: Any) -> Any:
        return at_line if frame.f_code.co_filename.startswith(STORE) else None

    sys.settrace(at_call)


def _count_bytes(counted: _Counted) -> None:
    """Count the bytes of journal and ledger as they are written; write a part, then die, at 0."""

    def write_all(writer: JournalWriter, lines: bytes) -> None:
        _part(counted, writer._file.fileno(), lines)
        written(writer, lines)

    def write_entry(ledger: Ledger, line: bytes) -> None:
        descriptor = os.open(ledger._path, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        _part(counted, descriptor, line)
        os.close(descriptor)
        entered(ledger, line)

    written, entered = JournalWriter._write_all, Ledger._write
    JournalWriter._write_all = write_all  # type: ignore[method-assign]
    Ledger._write = write_entry  # type: ignore[method-assign]


def _part(counted: _Counted, descriptor: int, content: bytes) -> None:
    """Write as much of `content` as is left and die, or write nothing where all of it may be."""
    room = counted.take(len(content))
    if room < len(content):
        os.write(descriptor, content[: max(0, room)])
        die()


# --- what is left of it -------------------------------------------------------------------------


def _judge(
    day: Day, shop: Path, folder: Path, said: list[dict[str, Any]], left: Left, whole: Whole
) -> None:
    """Open the job, hold it against what was said, and finish it."""
    left.acknowledged = said[-1]["events"] if said else 0
    lost = losses_of(folder / "journal.jsonl", said)
    left.found = left.acknowledged - len(lost)
    left.losses += lost
    begun = time.perf_counter()
    try:
        opened = open_shop(shop)
        with made_again_at_will():
            job = OpenJob(
                folder, opened.lists, opened.person(day.read.script.technician), _later(folder)
            )
    except Exception as error:  # any that comes is what is looked for
        left.losses.append(f"the job does not open: {error!r}")
        return
    left.opened_in = time.perf_counter() - begun
    left.torn = len(job.torn)
    left.more = job.events[-1].seq - left.acknowledged
    try:
        with made_again_at_will():
            finish(day, opened, job, sum("head" in each for each in said), whole)
        left.finished = job.state.status == "closed" and has_record(folder, job.state.head)
        if not left.finished:
            left.losses.append(f"the job is {job.state.status} at its end")
    except (StoreTrouble, AssertionError) as error:
        left.losses.append(f"the job cannot be finished: {error}")
    finally:
        job.leave()


def losses_of(journal: Path, said: list[dict[str, Any]]) -> list[str]:
    """Return what of the events that were `said` to be on the disk is not in `journal`.

    The file is read without any code of the program: its lines as JSON, the canonical form by the
    library rfc8785, the hash by the standard library.
    """
    prev, heads = "0" * 64, [""]
    for line in journal.read_bytes().split(b"\n")[:-1]:
        try:
            event = json.loads(line)
            bare = {name: value for name, value in event.items() if name != "hash"}
            good = event["prev"] == prev and event["hash"] == _hash_of(bare)
        except (ValueError, KeyError):
            good = False
        if not good:
            break
        prev = event["hash"]
        heads.append(prev)
    lost = []
    for each in said:
        number, head = each["events"], each.get("head")
        if number >= len(heads):
            lost.append(f"event {number} was acknowledged and is not there")
        elif head is not None and heads[number] != head:
            lost.append(f"event {number} was acknowledged and is another one now")
    return lost


def _hash_of(bare: dict[str, Any]) -> str:
    return hashlib.sha256(rfc8785.dumps(bare)).hexdigest()


def _later(folder: Path) -> datetime:
    """Return a second after the newest whole event: the laptop was switched on again at once."""
    whole = (folder / "journal.jsonl").read_bytes().rpartition(b"\n")[0]
    return read_moment(json.loads(whole.split(b"\n")[-1])["at"]) + timedelta(seconds=1)


def finish(day: Day, shop: Shop, job: OpenJob, done: int, whole: Whole) -> None:
    """Do what the script still holds after the `done` actions that had been acknowledged.

    The next one may have reached the disk before the process died. Where it did, it is not done
    again: whoever opens the job sees that a fault stands there, and does not raise it twice. Where
    a part of it did, it may be refused, as it would be by a key pressed twice.

    Raises:
        AssertionError: Another one was refused.
    """
    if done < len(whole.events) and job.state.seq >= whole.events[done]:
        done += 1
    for place, move in enumerate(day.read.moves[done:]):
        if job.ended:
            break
        result = _do(move, day.beside, shop, job)
        if isinstance(result, Refused):
            assert place == 0, f"{move.place}: refused: {result.why}"


def _do(move: Move, beside: Path, shop: Shop, job: OpenJob) -> object:
    when = read_moment(job.state.last_at) + timedelta(seconds=move.after)
    who = shop.person(move.by or job.state.technician)
    return job.act(run._action(move, beside, job, shop.caps), who, when)
