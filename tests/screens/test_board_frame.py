"""The frame of the board stands before the shop is read, and keeps what is pressed meanwhile."""

import asyncio
import gc
import shutil
from collections.abc import Awaitable, Callable
from datetime import datetime
from typing import Any

import pytest
from bench import Bench, shown
from quiet import hold
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import OptionList, Static

from baycompanion.screens.app import BayApp
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.board.frame import BoardFrame
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.job.job import JobScreen
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.board.line import BEING_READ
from baycompanion.working.board.glance import board_glanced
from baycompanion.working.board.keeping import BoardShown, board_kept, keep_board


def test_a_key_pressed_on_the_frame_counts_on_the_board(bench: Bench) -> None:
    async def run() -> None:
        read = hold()

        def opens() -> Shop:
            assert read.wait(30)
            return bench.shop

        app = BayApp(None, now=bench.clock, opens=opens)
        async with app.run_test(size=(120, 36)) as pilot:
            try:
                assert isinstance(app.screen, BoardFrame)
                app.simulate_key("n")
                await asyncio.sleep(0.05)  # the pilot would wait for the reading
                assert isinstance(app.screen, BoardFrame)
            finally:
                read.set()
            for _ in range(200):  # what reads the shop is ended with its frame, so nobody joins it
                await pilot.pause(0.02)
                if isinstance(app.screen, FormScreen):
                    break
            assert isinstance(app.screen, FormScreen)
            assert isinstance(app.screen_stack[-2], BoardScreen)

    asyncio.run(run())


def test_keys_that_come_while_the_board_takes_its_place_wait_behind_those_before(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The new screen is in front before it is laid out: C would find no list on it."""
    laid_out = asyncio.Event()

    async def on_mount(board: BoardScreen) -> None:
        await laid_out.wait()

    monkeypatch.setattr(BoardScreen, "on_mount", on_mount, raising=False)

    async def run() -> None:
        read = hold()

        def opens() -> Shop:
            assert read.wait(30)
            return bench.shop

        app = BayApp(None, now=bench.clock, opens=opens)
        async with app.run_test(size=(120, 36)) as pilot:
            app.simulate_key("n")
            await asyncio.sleep(0.05)
            read.set()
            while not isinstance(app.screen, BoardScreen):
                await asyncio.sleep(0.01)
            for key in ("escape", "c"):
                app.simulate_key(key)
            await asyncio.sleep(0.05)
            laid_out.set()
            for _ in range(200):
                await pilot.pause(0.02)
                title = app.screen.query("#form-title")
                if title and str(title.last(Static).content).startswith("Which job"):
                    break
            assert isinstance(app.screen, FormScreen), "that of N was closed by Escape, C asks"
            assert isinstance(app.screen_stack[-2], BoardScreen)
            assert shown(pilot, "#form-title") == "Which job does it come back from?"

    asyncio.run(run())


def test_a_shop_that_cannot_be_read_ends_the_app_with_its_sentence() -> None:
    async def run() -> None:
        trouble = StoreTrouble("The shop folder cannot be made.")

        def opens() -> Shop:
            raise trouble

        app = BayApp(None, opens=opens)
        async with app.run_test(size=(120, 36)) as pilot:
            await pilot.pause(0.2)
        assert app.failure is trouble
        assert app.return_value == 1

    asyncio.run(run())


def test_cycles_are_looked_for_again_once_the_board_stands(bench: Bench) -> None:
    """Whoever starts the board puts the looks off: a tenth of the start goes into them."""

    async def run() -> None:
        app = BayApp(None, now=bench.clock, opens=lambda: bench.shop)
        async with app.run_test(size=(120, 36)) as pilot:
            for _ in range(200):
                await pilot.pause(0.02)
                if gc.isenabled():
                    break

    gc.disable()
    try:
        asyncio.run(run())
        assert gc.isenabled()
        assert gc.get_freeze_count() > 0
    finally:
        gc.enable()
        gc.unfreeze()


UntilRead = Callable[[datetime], BoardShown | None]


class Behind:
    """The board of a bench behind its frame, whose shop is read when it is told."""

    def __init__(self, bench: Bench, until_read: UntilRead | None = None) -> None:
        """Keep the lines of the bench's board, as it was shown last, unless others are shown."""
        if until_read is None:
            keep_board(bench.shop, bench.clock())
        self.bench = bench
        self._until_read = until_read or (lambda now: board_kept(bench.folder, now))
        self._read = hold()

    def run(self, walk: Callable[[Pilot[int], "Behind"], Awaitable[None]]) -> BayApp:
        """Start the board, let `walk` go once what was kept stands, and leave."""
        bench = self.bench

        def opens() -> Shop:
            assert self._read.wait(30)
            return bench.shop

        app = BayApp(None, now=bench.clock, opens=opens, until_read=self._until_read)

        async def run() -> None:
            async with app.run_test(size=(120, 36)) as pilot:
                try:
                    await until(pilot, lambda: len(lines(pilot)) > 1)
                    assert isinstance(app.screen, BoardFrame)
                    await walk(pilot, self)
                finally:
                    self._read.set()
                    await app.action_quit()

        asyncio.run(run())
        return app

    async def read(self, pilot: Pilot[int], shows: type[Screen[Any]]) -> None:
        """Let the shop be read, until a screen of this kind is in front."""
        self._read.set()
        await until(pilot, lambda: isinstance(pilot.app.screen, shows))


async def until(pilot: Pilot[int], holds: Callable[[], bool]) -> None:
    """Wait until something holds; the pilot's own wait would wait for the reading."""
    for _ in range(500):
        await asyncio.sleep(0.02)
        if holds():
            return
    raise AssertionError(pilot.app.screen)


def lines(pilot: Pilot[int]) -> list[str]:
    """Return the lines of the board or its frame."""
    jobs = pilot.app.screen.query_one("#jobs", OptionList)
    return [str(option.prompt) for option in jobs.options]


def in_hand(pilot: Pilot[int]) -> str:
    """Return the first line of the job in hand; nothing while a board has yet to list its jobs."""
    jobs = pilot.app.screen.query_one("#jobs", OptionList)
    if jobs.highlighted is None:
        return ""
    return str(jobs.options[jobs.highlighted].prompt).split(" · ")[0]


@pytest.fixture
def three(bench: Bench) -> Bench:
    """Return a bench with three jobs under way."""
    for number in (1, 2, 3):
        bench.new_job(f"WO {number}")
    bench.clock.move(seconds=600)
    return bench


def test_what_was_kept_stands_as_the_board_will_and_is_moved_in(three: Bench) -> None:
    async def walk(pilot: Pilot[int], behind: Behind) -> None:
        frame, title = lines(pilot), shown(pilot, "#board-title")
        assert in_hand(pilot) == "WO 3"
        pilot.app.simulate_key("down")
        await until(pilot, lambda: in_hand(pilot) == "WO 2")
        await behind.read(pilot, BoardScreen)
        await until(pilot, lambda: in_hand(pilot) == "WO 2")
        assert (lines(pilot), shown(pilot, "#board-title")) == (frame, title)

    Behind(three).run(walk)


def test_the_first_time_it_is_moved_in_what_a_glance_tells(three: Bench) -> None:
    async def walk(pilot: Pilot[int], behind: Behind) -> None:
        assert shown(pilot, "#board-title") == "BAY BOARD"
        assert lines(pilot)[1] == f"WO 3 · Blue van · Fit a small receiver\n  {BEING_READ}\n"
        pilot.app.simulate_key("down")
        await until(pilot, lambda: in_hand(pilot) == "WO 2")
        await behind.read(pilot, BoardScreen)
        await until(pilot, lambda: in_hand(pilot) == "WO 2")
        assert shown(pilot, "#board-title") == f"BAY BOARD · {three.shop.name}"
        assert BEING_READ not in "".join(lines(pilot))

    Behind(three, lambda now: board_glanced(three.folder)).run(walk)


@pytest.mark.parametrize("way", ["enter", "click"])
def test_a_job_is_opened_from_what_was_kept_once_it_can_be_and_once(three: Bench, way: str) -> None:
    """A second Enter is for what nobody has seen yet, and answers nothing there."""

    async def walk(pilot: Pilot[int], behind: Behind) -> None:
        app = pilot.app
        app.simulate_key("down")
        await until(pilot, lambda: in_hand(pilot) == "WO 2")
        if way == "click":
            jobs = app.screen.query_one("#jobs", OptionList)
            jobs.highlighted = 3
            jobs.action_select()
        else:
            app.simulate_key("down")
            app.simulate_key("enter")
        await until(pilot, lambda: in_hand(pilot) == "WO 1")
        for key in ("up", "enter", "enter"):
            app.simulate_key(key)
        await asyncio.sleep(0.05)
        assert in_hand(pilot) == "WO 1", "what comes after the Enter waits"
        await behind.read(pilot, JobScreen)
        assert isinstance(app.screen, JobScreen)
        assert app.screen.job.state.opened.work_order == "WO 1"
        await pilot.pause()
        assert app.screen.card.kind == "hazards"

    Behind(three).run(walk)
    assert all(len(three.journal(folder)) == 1 for folder in three.shop.jobs.iterdir())


def test_nothing_is_opened_where_the_job_in_hand_is_on_the_list_no_more(three: Bench) -> None:
    async def walk(pilot: Pilot[int], behind: Behind) -> None:
        pilot.app.simulate_key("enter")
        await asyncio.sleep(0.05)
        [folder] = [path for path in three.shop.jobs.iterdir() if path.name.endswith("wo-3")]
        shutil.rmtree(folder)
        await behind.read(pilot, BoardScreen)
        said = "The list has changed meanwhile. Look again."
        await until(pilot, lambda: shown(pilot, "#board-message") == said)
        await pilot.pause()
        assert isinstance(pilot.app.screen, BoardScreen)

    Behind(three).run(walk)


def test_a_list_that_changed_is_the_one_that_stands(three: Bench) -> None:
    async def walk(pilot: Pilot[int], behind: Behind) -> None:
        pilot.app.simulate_key("down")
        await until(pilot, lambda: in_hand(pilot) == "WO 2")
        three.new_job("WO 4")
        await behind.read(pilot, BoardScreen)
        await until(pilot, lambda: len(lines(pilot)) == 5)
        assert in_hand(pilot) == "WO 2", "the job stays in hand, not the place"

    Behind(three).run(walk)


def test_what_was_kept_is_left_as_everything_is(three: Bench) -> None:
    async def walk(pilot: Pilot[int], behind: Behind) -> None:
        pilot.app.simulate_key("ctrl+q")
        await until(pilot, lambda: not pilot.app.is_running or pilot.app._exit)

    assert Behind(three).run(walk).return_value == 0
