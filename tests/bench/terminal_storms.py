"""What real terminals do to a job: storms of sizes, closed windows, raw pastes; figures printed.

Each storm runs the program in a pseudo-terminal of its own, with sizes, moments and texts drawn
from a seed, and looks afterwards at the disk: an event lost, doubled or made up is counted, and so
are a traceback and a half-typed entry that is not whole. Run it with the tests' own libraries:

    .venv/bin/python tests/bench/terminal_storms.py --sizes 300 --closed 60 --seed 1
"""

import argparse
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import zip_longest
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS), str(TESTS / "screens"), str(TESTS.parent)]

from bench import Bench  # noqa: E402 - the folders of the tests come first
from in_tmux import TMUX, Tmux  # noqa: E402
from real_terminal import RealTerminal, bay  # noqa: E402

from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH  # noqa: E402
from baycompanion.store.job.folder import read_job  # noqa: E402

PASTED = 10_000
F2, LEAVE = "\x1bOQ", "\x11"


def main() -> None:
    """Run the storms that were asked for, and print a line of figures for each."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--sizes", type=int, default=300, help="sizes of the storm")
    asked.add_argument("--closed", type=int, default=30, help="windows closed at a drawn moment")
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    drawn = random.Random(given.seed)
    with tempfile.TemporaryDirectory() as folder:
        made = iter(range(10_000))

        def bench() -> Bench:
            shop = Bench(Path(folder) / f"shop-{next(made)}")
            shop.clock.at = datetime.now(UTC) - timedelta(hours=12)
            return shop

        storm_of_sizes(bench(), drawn, given.sizes)
        if TMUX is None:
            tell("No tmux here: its storm was left out.")
        else:
            storm_of_windows(bench(), drawn, given.sizes)
        closed_windows(bench, drawn, given.closed)
        left_while_opening(bench(), drawn, given.closed)
        raw_paste(bench())


def resume(bench: Bench, folder: Path) -> list[str]:
    """Return the command line that opens the job in `folder`."""
    return bay("resume", folder.name, "--shop", str(bench.folder))


def at_work(command: list[str]) -> RealTerminal:
    """Open a job by `command`; the gap before was worked."""
    terminal = RealTerminal(command)
    terminal.see("What were the last")
    terminal.send("1")
    terminal.see_go("What were the last")
    return terminal


def sizes(drawn: random.Random, count: int) -> Iterator[tuple[int, int]]:
    """Yield `count` sizes from 20 by 5 to 200 by 60."""
    for _ in range(count):
        yield drawn.randint(20, 200), drawn.randint(5, 60)


def storm_of_sizes(bench: Bench, drawn: random.Random, count: int) -> None:
    """Type the entries of a list while the window takes `count` sizes."""
    folder = bench.job(to="stations")
    entries, entry, small_before, small_sizes = [], "", False, 0
    began = time.monotonic()
    with at_work(resume(bench, folder)) as terminal:
        before = bench.kinds(folder)
        for columns, rows in sizes(drawn, count):
            small = columns < LEAST_WIDTH or rows < LEAST_HEIGHT
            if small and not small_before:  # no key is on its way while the window shrinks
                see_typed(terminal, entry, *entries[-1:])
            terminal.resize(columns, rows)
            small_before, small_sizes = small, small_sizes + small
            if small:
                terminal.see("too small")
                continue
            see_whole(terminal)
            if len(entry) == 5:
                see_typed(terminal, entry)
                terminal.send("\r")
                entries.append(entry)
                entry = ""
            else:
                key = drawn.choice("123456789")
                terminal.send(key)
                entry += key
        terminal.resize(80, 24)
        see_whole(terminal)
        terminal.settle()
        held = bench.kinds(folder) == before
        terminal.send("\r\r" if entry else "\r")
        terminal.see("Step 8 of 33")
        traceback = b"Traceback" in terminal.raw
    expected = [*entries, entry] if entry else entries
    written = bench.last(folder, "answered")["data"]["entries"]
    once = bench.kinds(folder).count("answered") == before.count("answered") + 1
    tell(
        f"{count} sizes ({small_sizes} too small) in {time.monotonic() - began:.0f} s: "
        f"{len(expected)} entries typed, kept as typed {_said(written == expected)}, "
        f"answered once {_said(once)}, nothing answered meanwhile {_said(held)}, "
        f"traceback {_said(traceback)}"
    )
    for n, (typed, kept) in enumerate(zip_longest(expected, written), 1):
        if typed != kept:
            tell(f"  entry {n}: typed {typed}, kept {kept}")


def storm_of_windows(bench: Bench, drawn: random.Random, count: int) -> None:
    """Write a note in tmux while its window takes `count` sizes, each eighth time in a new one."""
    folder = bench.job(to="gauges")
    note, windows, small_sizes = "", 1, 0
    began = time.monotonic()
    with Tmux(bench.folder) as tmux:
        terminal = at_work(tmux.around(resume(bench, folder)))
        try:
            terminal.send(F2)
            terminal.see("Enter Save Esc Back")
            for number, (columns, rows) in enumerate(sizes(drawn, count)):
                small = columns < LEAST_WIDTH or rows < LEAST_HEIGHT
                small_sizes += small
                if number % 8 == 7:
                    terminal.hang_up()
                    terminal.wait()
                    terminal = RealTerminal(tmux.joined(), size=(columns, rows))
                    windows += 1
                else:
                    terminal.resize(columns, rows)
                if small:
                    terminal.see("too small")
                    continue
                see_whole(terminal)
                key = drawn.choice("bdfghjkmpqvwxyz")
                terminal.send(key)
                note += key
                terminal.see(note[-40:])
            terminal.resize(80, 24)
            terminal.see(note[-40:])
            terminal.send("\r")
            terminal.see_go("Enter Save Esc Back")
            terminal.send(LEAVE)
            code = terminal.wait()
        finally:
            terminal.end()
    kept = bench.last(folder, "noted")["data"]["words"] == note
    tell(
        f"{count} sizes ({small_sizes} too small) in tmux, in {windows} windows one after the "
        f"other, in {time.monotonic() - began:.0f} s: a note of {len(note)} letters, kept as typed "
        f"{_said(kept)}, left with {code}"
    )


def see_whole(terminal: RealTerminal) -> None:
    """Wait until the program fills its window.

    That it says no more to be too small is not enough: half painted it says nothing at all, and
    tmux shows what stood in a wider window before.
    """
    terminal.until(
        lambda: "f9 More" in terminal.lines[-1] and "f1 Help" in "".join(terminal.lines[-2:]),
        lambda: "no keys in the last lines",
    )


def see_typed(terminal: RealTerminal, entry: str, *last: str) -> None:
    """Wait until `entry` stands in the field; where nothing does, until `last` has left it."""

    def in_field(text: str) -> bool:
        return any(line.rpartition("▊")[2].strip() == text for line in terminal.lines)

    terminal.until(
        lambda: in_field(entry) if entry else not any(map(in_field, last)),
        lambda: f"“{entry}” never stood in the field",
    )


def closed_windows(bench: object, drawn: random.Random, count: int) -> None:
    """Close a window at a drawn moment while ticks are made as fast as they are taken."""
    lost = torn = not_opened = half = 0
    events = 0
    for _ in range(count):
        shop: Bench = bench()  # type: ignore[operator]
        folder = shop.job(to="before")
        with at_work(resume(shop, folder)) as terminal:
            before = shop.journal(folder)
            way = drawn.choice(["hang up", signal.SIGHUP, signal.SIGTERM, signal.SIGKILL])
            until = time.monotonic() + drawn.uniform(0, 1.5)
            seen = 0
            while time.monotonic() < until:
                terminal.send("1")
                rests = time.monotonic() + 0.09  # quicker than that, it would be a code
                while time.monotonic() < rests:
                    terminal.read(0.01)
                seen = max(seen, terminal.text.count("✓ Horn") + terminal.text.count("✓ Lamps"))
            if isinstance(way, signal.Signals):
                terminal.kill(way)
            else:
                terminal.hang_up()
            terminal.wait()
        try:
            after = read_job(folder)
        except Exception as error:
            not_opened += 1
            tell(f"  {way}: {error}")
            continue
        written = shop.journal(folder)
        ticks = sum(each["kind"] == "ticked" for each in written)
        earlier = sum(each["kind"] == "ticked" for each in before)
        events += len(written) - len(before)
        lost += ticks - earlier < seen or written[: len(before)] != before
        torn += bool(after.torn)
        shop.act(folder)  # whoever comes next can have the job
        half += _closed_while_typing(shop, drawn)
    tell(
        f"{count} windows closed among {events} events: {not_opened} jobs that do not open, "
        f"{lost} with an event lost that the screen showed, {torn} torn lines set aside"
    )
    tell(f"{count} windows closed in the middle of an entry: {half} entries not whole")


def _closed_while_typing(shop: Bench, drawn: random.Random) -> bool:
    """Return whether an entry that the screen showed is not whole after the window was closed."""
    folder = shop.job(to="gauges")
    text = "".join(drawn.choice("0123456789,") for _ in range(drawn.randint(1, 30)))
    with at_work(resume(shop, folder)) as terminal:
        terminal.send(text)
        terminal.see(text)
        if drawn.random() < 0.5:
            terminal.kill(signal.SIGHUP)
        else:
            terminal.hang_up()
        terminal.wait()
    draft = folder / "draft.json"
    return not draft.exists() or f'"entry": "{text}"' not in draft.read_text(encoding="utf-8")


def left_while_opening(bench: Bench, drawn: random.Random, count: int) -> None:
    """Leave at a drawn moment while a job is opened, by the key, a signal, or the window."""
    folder = bench.job(to="gauges")
    with at_work(resume(bench, folder)) as terminal:
        terminal.send("18,16")
        terminal.see("18,16")
        terminal.send(LEAVE)
        terminal.wait()
    draft, before = (folder / "draft.json").read_bytes(), bench.kinds(folder)
    codes: Counter[str] = Counter()
    for _ in range(count):
        with RealTerminal(resume(bench, folder)) as terminal:
            terminal.see("BAY BOARD")
            until = time.monotonic() + drawn.uniform(0, 0.3)
            while time.monotonic() < until:
                terminal.read(0.005)
            way = drawn.choice([LEAVE, signal.SIGTERM, "hang up"])
            if isinstance(way, signal.Signals):
                terminal.kill(way)
            elif way == LEAVE:
                terminal.send(way)
            else:
                terminal.hang_up()
            try:
                codes[str(terminal.wait(10))] += 1
            except AssertionError:
                codes["still there"] += 1
    kept = (folder / "draft.json").read_bytes() == draft
    only_gaps = set(bench.kinds(folder)[len(before) :]) <= {"gap-found"}
    tell(
        f"{count} programs left while a job was opened: ended with "
        f"{', '.join(f'{code} {times} times' for code, times in codes.items())}; "
        f"what was half typed stands {_said(kept)}, nothing was answered {_said(only_gaps)}"
    )


def raw_paste(bench: Bench) -> None:
    """Paste short lines, unmarked, onto a card whose answers are digits."""
    folder = bench.job(to="joins-hold")
    with at_work(resume(bench, folder)) as terminal:
        before = bench.kinds(folder)
        began = time.monotonic()
        terminal.send(("1\r2\r\r3\r" * PASTED)[:PASTED])
        terminal.see("nothing was answered. Step 4")
        terminal.settle()
        terminal.settle()
        took = time.monotonic() - began
        answered = len(bench.kinds(folder)) - len(before)
    tell(f"{PASTED} keys pasted raw in {took:.1f} s: {answered} events came of them")


def tell(line: str) -> None:
    """Print one line of figures."""
    print(line, flush=True)  # noqa: T201


def _said(holds: bool) -> str:
    return "yes" if holds else "no"


if __name__ == "__main__":
    main()
