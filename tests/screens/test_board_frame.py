"""The frame of the board stands before the shop is read, and keeps what is pressed meanwhile."""

import asyncio
import gc
from threading import Event

from bench import Bench

from baycompanion.screens.app import BayApp
from baycompanion.screens.board import BoardScreen
from baycompanion.screens.board_frame import BoardFrame
from baycompanion.screens.form import FormScreen
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble


def test_a_key_pressed_on_the_frame_counts_on_the_board(bench: Bench) -> None:
    async def run() -> None:
        read = Event()

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
