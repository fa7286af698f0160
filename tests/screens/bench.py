"""A shop on the disk for the screens, and jobs of the small procedure that stand at any step."""

import asyncio
import json
import shutil
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from bay import GOOD, LONG_STEPS, S1, SMALL_TEXT, START, T1, VEHICLE, keys_in, load_small
from lamp import PROCEDURE
from lamp import STAFF as LAMP_STAFF
from past_shop import invented_minutes, play_past
from played_once import done_once
from textual.events import Key, MouseDown, MouseUp
from textual.geometry import Offset
from textual.pilot import Pilot
from textual.widgets import Button, Input, OptionList, Static
from walker import Clock

from baycompanion.job.actions import Accept, Action
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.events.carried import Vehicle
from baycompanion.procedure.load import Loaded, load_procedure
from baycompanion.screens.app import BayApp
from baycompanion.screens.job.job import JobScreen
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop, open_shop

SHOP = """\
name: Test bay
reasons:
  - part on order, owner agreed to wait
  - measured another way
"""
STAFF = """\
staff:
  - {id: T1, role: technician}
  - {id: T2, role: technician}
  - {id: N1, role: trainee}
  - {id: S1, role: supervisor}
"""

READING = 1
"""Seconds in which a person reads before Enter; without them a key is held down."""

Walk = Callable[[Pilot[int]], Awaitable[None]]


@dataclass(frozen=True, slots=True)
class Typed:
    """Text that is put whole into the field that has the focus, as pasting does."""

    text: str


@dataclass(frozen=True, slots=True)
class Click:
    """A click, or a touch, on the widget of this name; `line` counts the lines of a list."""

    widget: str
    line: int = 0


@dataclass(frozen=True, slots=True)
class More:
    """The entry of the menu (F9) called this, chosen by its number or, past ten, by arrows."""

    entry: str


@dataclass(frozen=True, slots=True)
class Read:
    """Waiting until what is read in a thread has come."""


READ = Read()

Move = str | Typed | Click | More | Read


async def press(pilot: Pilot[int], *moves: Move) -> None:
    """Press keys, click, and put texts where the focus is, one after the other."""
    for move in moves:
        if isinstance(move, Typed):
            focused = pilot.app.focused
            assert isinstance(focused, Input), focused
            focused.value = move.text
            await pilot.pause()
        elif isinstance(move, Click):
            assert await pilot.click(move.widget, offset=(2, move.line)), f"{move} is covered"
            await pilot.pause()
            for button in pilot.app.screen.query(Button):
                button.remove_class("-active")  # the moment in which it takes no second click
        elif isinstance(move, Read):
            await pilot.pause()
            await pilot.app.workers.wait_for_complete()
            await pilot.pause()
        elif isinstance(move, More):
            await pilot.press("f9")
            listed = pilot.app.screen.query_one("#menu-list", OptionList).options
            entries = [str(each.prompt) for each in listed]
            [place] = [n for n, entry in enumerate(entries) if move.entry in entry]
            digit = entries[place][0]
            keys = [digit] if digit.isdigit() else [*["down"] * place, "enter"]
            await pilot.press(*keys)
        else:
            if move == "enter":
                clock_of(pilot).move(seconds=READING)
            await pilot.app._press_keys([move])  # which paints nothing in between
    await pilot.pause()


async def touch(
    pilot: Pilot[int],
    widget: str,
    line: int = 0,
    column: int = 2,
    later: float = READING,
    swept: int = 0,
) -> None:
    """Put a finger on `line` of a widget, and lift it there once the screen has heeded it.

    Both go in by the door of the app, as from a terminal; what has come under the finger by then
    is what is clicked. It comes so many seconds `later` than the one before, and may be `swept`
    over so many lines before it is lifted.
    """
    at = pilot.app.screen.query_one(widget).region.offset + Offset(column, line)
    for kind, after, lines in ((MouseDown, later, 0), (MouseUp, 0, swept)):
        event = kind(None, at.x, at.y + lines, 0, 0, 1, False, False, False)
        event.time = _TOUCHED[0] = _TOUCHED[0] + after
        pilot.app.post_message(event)
        for _ in range(2):
            await pilot.pause()
    for button in pilot.app.screen.query(Button):
        button.remove_class("-active")  # the moment in which it takes no second touch


_TOUCHED = [0.0]
"""When the last touch was, by the clock of the events."""


async def burst(pilot: Pilot[int], text: str) -> None:
    """Send `text` the way a reader does: every key is there before the first one is looked at."""
    for letter in text:
        key = {"\n": "enter", ".": "full_stop", " ": "space"}.get(letter, letter)
        pilot.app.post_message(Key(key, "\r" if letter == "\n" else letter))
    await pilot.pause()
    await pilot.pause()


def clock_of(pilot: Pilot[int]) -> Clock:
    """Return the clock that the app goes by."""
    app = pilot.app
    assert isinstance(app, BayApp) and isinstance(app.now, Clock)
    return app.now


def shown(pilot: Pilot[int], widget: str) -> str:
    """Return the text of the widget of this name, empty where it is not shown."""
    found = pilot.app.screen.query_one(widget, Static)
    return str(found.content) if found.display else ""


def job_screen(pilot: Pilot[int]) -> JobScreen:
    """Return the screen of the job, which must be in front."""
    screen = pilot.app.screen
    assert isinstance(screen, JobScreen), screen
    return screen


@dataclass
class Bench:
    """One shop folder with four people, a clock that moves when told, and jobs that were played."""

    folder: Path
    clock: Clock = field(default_factory=lambda: Clock(START))
    shop: Shop = field(init=False)
    procedure: str = SMALL_TEXT
    loaded: Loaded = field(default_factory=load_small)

    def __post_init__(self) -> None:
        self.folder.mkdir(exist_ok=True)
        (self.folder / "shop.yaml").write_text(SHOP, encoding="utf-8")
        (self.folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
        self.shop = open_shop(self.folder)

    def use(self, procedure: str) -> None:
        """Make the jobs that come of the procedure in this text, in place of the small one."""
        self.procedure = procedure
        self.loaded = load_procedure(procedure, "procedure.yaml")

    def close_lamps(self, jobs: int) -> list[Path]:
        """Play so many lamp jobs to their end, and return their folders."""
        self.shop.procedures.mkdir(exist_ok=True)
        (self.shop.procedures / "lamp.yaml").write_text(PROCEDURE, encoding="utf-8")
        (self.folder / "staff.yaml").write_text(LAMP_STAFF, encoding="utf-8")
        past = play_past(self.folder, open_shop(self.folder), invented_minutes(jobs, seed=5))
        (self.folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
        return [played.folder for played in past]

    def new_job(self, order: str = "WO 7", vehicle: Vehicle = VEHICLE, who: Person = T1) -> Path:
        """Make a job in which nothing has happened yet, and return its folder."""
        return make_job(
            self.shop.jobs,
            self.loaded,
            keys_in(order, vehicle, who, self.clock(), figures=self.shop.figures),
        )

    def job(self, to: str | None = None, who: Person = T1, **instead: list[Action]) -> Path:
        """Make a job and walk it well until the step `to` is in hand, or to the end of the steps.

        `instead` gives other actions for some steps, whose names have _ for each hyphen. Where
        the job comes to a shut gate the walk ends there.
        """

        def walked() -> tuple[str, datetime]:
            folder = self.new_job(who=who)
            self.act(folder, Accept(accept="hazards"), who=who)
            self.finish(folder, to, who, **instead)
            return folder.name, self.clock.at

        plan = (self.procedure, self.clock.at, to, who, repr(instead))
        name, self.clock.at = done_once(self.folder, plan, walked)
        return self.shop.jobs / name

    def finish(
        self, folder: Path, to: str | None = None, who: Person = T1, **instead: list[Action]
    ) -> None:
        """Walk the job in `folder` on, as `job` does."""
        other = {name.replace("_", "-"): actions for name, actions in instead.items()}
        job = OpenJob(folder, self.shop.lists, who, self.clock())
        try:
            while (step := job.state.current) is not None and step != to:
                self.clock.at += LONG_STEPS.get(step, timedelta())
                by = S1 if step == "second-look" else who
                self._do(job, other.get(step, GOOD.get(step, [])), by)
                assert job.state.current != step, f"{step} is still in hand"
        finally:
            job.leave()

    def act(self, folder: Path, *actions: Action, who: Person = T1) -> None:
        """Carry `actions` out on the job in `folder`, as if somebody had it open."""
        job = OpenJob(folder, self.shop.lists, who, self.clock())
        try:
            self._do(job, actions, who)
        finally:
            job.leave()

    def _do(self, job: OpenJob, actions: Any, who: Person) -> None:
        for action in actions:
            self.clock.move(seconds=60)
            result = job.act(action, who, self.clock())
            assert not isinstance(result, Refused), f"{action!r} was refused: {result}"

    def app(self, folder: Path | None = None, who: Person | None = T1) -> BayApp:
        """Return an app on the job in `folder`, or on the board without one."""
        return BayApp(self.shop, folder, who if folder else None, self.clock)

    def run(
        self,
        walk: Walk,
        folder: Path | None = None,
        who: Person | None = T1,
        size: tuple[int, int] = (80, 24),
    ) -> None:
        """Open the job in `folder`, or the board, let `walk` drive it, and leave by its key."""

        async def drive() -> None:
            app = self.app(folder, who)
            async with app.run_test(size=size, notifications=True) as pilot:
                await pilot.pause()
                try:
                    await walk(pilot)
                finally:
                    await app.action_quit()

        asyncio.run(drive())

    def press(self, folder: Path | None, *moves: Move) -> None:
        """Open the job in `folder`, or the board, press keys and type texts, and leave."""

        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, *moves)

        self.run(walk, folder)

    def killed(self, folder: Path) -> Path:
        """Return what the disk would hold if the program were killed now: a copy of the job."""
        copy = folder.with_name(f"{folder.name}-killed")
        shutil.copytree(folder, copy)
        return copy

    def journal(self, folder: Path) -> list[dict[str, Any]]:
        """Return the lines of the journal in `folder`, read from the disk."""
        text = (folder / "journal.jsonl").read_text(encoding="utf-8")
        return [json.loads(line) for line in text.splitlines()]

    def kinds(self, folder: Path) -> list[str]:
        """Return the kinds of the events in the journal, read from the disk."""
        return [line["kind"] for line in self.journal(folder)]

    def last(self, folder: Path, kind: str) -> dict[str, Any]:
        """Return the newest event of `kind` in the journal, read from the disk."""
        lines = [line for line in self.journal(folder) if line["kind"] == kind]
        assert lines, f"no {kind} in {self.kinds(folder)}"
        return lines[-1]
