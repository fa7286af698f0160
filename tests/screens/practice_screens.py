"""Practice on the screens of tests: begun in the shop of the bench, and driven to where it matters.

A practice is begun by what is asked, as the command begins it, and not opened by its folder.
"""

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path

from bay import SMALL_TEXT
from bench import Bench, press
from textual.pilot import Pilot

from baycompanion.screens.app import BayApp
from baycompanion.screens.learning.practice import PracticeScreen
from baycompanion.screens.learning.practice_start import ask_practice, begin_practice

Walk = Callable[[Pilot[int]], Awaitable[None]]
ASKED = {"procedure": "small-receiver", "by": "N1", "faults": "0", "seed": "1"}


def run(
    bench: Bench,
    walk: Walk,
    size: tuple[int, int] = (80, 24),
    in_full: bool = True,
    text: str = SMALL_TEXT,
    **asked: str,
) -> None:
    """Begin a practice of `text`, or ask what is practised, let `walk` drive it, and leave."""
    (bench.shop.procedures / "small-receiver.yaml").write_text(text, encoding="utf-8")

    def first(app: BayApp) -> None:
        if in_full:
            assert begin_practice(app, bench.shop, app.now, {**ASKED, **asked}) is None
        else:
            ask_practice(app, bench.shop, app.now, asked)

    async def drive() -> None:
        app = BayApp(bench.shop, now=bench.clock, first=first)
        async with app.run_test(size=size, notifications=True) as pilot:
            await pilot.pause()
            try:
                await walk(pilot)
            finally:
                await app.action_quit()

    asyncio.run(drive())


def practice_screen(pilot: Pilot[int]) -> PracticeScreen:
    """Return the screen of the practice, which must be in front."""
    screen = pilot.app.screen
    assert isinstance(screen, PracticeScreen), screen
    return screen


def folder(bench: Bench) -> Path:
    """Return the folder of the one practice of N1."""
    [found] = (bench.folder / "learning" / "N1" / "practice").iterdir()
    return found


async def to_first_step(pilot: Pilot[int]) -> None:
    """Accept the hazards, say the first step, and go on with it."""
    await press(pilot, "1")
    await say_next(pilot)
    await press(pilot, "1")
    assert practice_screen(pilot).card.kind == "step"


async def say_next(pilot: Pilot[int], step: str | None = None) -> None:
    """Say what comes next by its number: `step`, or without it the right one."""
    screen = practice_screen(pilot)
    assert screen.card.kind == "next", screen.card
    rows = [row.name for row in screen.card.rows]
    await press(pilot, str(rows.index(step or screen.job.state.current or "") + 1))


async def pass_asked(pilot: Pilot[int]) -> None:
    """Answer what is asked of the order, until a step stands there."""
    while practice_screen(pilot).card.kind in ("next", "told"):
        if practice_screen(pilot).card.kind == "next":
            await say_next(pilot)
        else:
            await press(pilot, "1")
