"""Keys that come faster than they are worked off do what they do one by one, in their order."""

import asyncio

from bench import Bench, job_screen, press, shown
from textual.content import Content
from textual.events import Key
from textual.pilot import Pilot

from baycompanion.screens.app import BayApp
from baycompanion.screens.page import Page

CHARACTERS = {"enter": "\r", "backspace": "\x7f"} | dict.fromkeys(("down", "left", "f2", "f5"))


async def at_once(pilot: Pilot[int], *keys: str) -> None:
    """Press keys on a busy machine: all are there before the first one is looked at."""
    for key in keys:
        pilot.app.post_message(Key(key, CHARACTERS.get(key, key)))
    for _ in keys:
        await pilot.pause()


def test_what_is_taken_back_in_a_field_is_gone_before_the_next_letter(bench: Bench) -> None:
    """A reading of “12”, Backspace, “3” was “123”: the letters overtook the key."""
    folder = bench.job()

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2")
        await at_once(pilot, "a", "b", "c", "backspace", "d", "left", "e", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"]["words"] == "abed"


def test_an_arrow_moves_before_enter_takes_the_line(bench: Bench) -> None:
    """The line that was in hand before was taken: another technician, another cause."""
    folder = bench.job()

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f5")
        await at_once(pilot, "x", "enter", "down", "enter")
        assert [fault.cause for fault in job_screen(pilot).job.state.faults] == ["work"]

    bench.run(walk, folder)


def test_what_is_typed_behind_a_key_that_opens_a_form_goes_into_it(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await at_once(pilot, "f2", "h", "i", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"]["words"] == "hi"
    assert bench.kinds(folder) == [*before, "noted"]


def test_a_word_typed_in_one_go_behind_a_key_that_opens_a_form_is_no_code(bench: Bench) -> None:
    """It was judged before the form stood: five signs at that pace are a code, and were dropped."""
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        await at_once(pilot, "f5", *"loose", "enter", "down", "enter")

    bench.run(walk, folder)
    raised = bench.last(folder, "fault-raised")["data"]
    assert (raised["words"], raised["cause"]) == ("loose", "work")


def test_a_code_behind_a_key_that_opens_nothing_is_still_one(bench: Bench) -> None:
    folder = bench.job(to="show")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await at_once(pilot, "left", *"4711", "enter")
        for _ in range(5):
            await pilot.pause()
        assert "Scanned 4711" in " ".join(shown(pilot, "#message").split())

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_a_key_pressed_while_the_screens_are_taken_away_is_dropped(bench: Bench) -> None:
    """It found no screen in front, and who left by Escape was told of an error of the program."""
    app = BayApp(None, now=bench.clock, alone=lambda: Page(Content("A page.")))

    async def run() -> None:
        async with app.run_test() as pilot:
            await pilot.pause()
            await pilot.press("escape", "end", "end")
        assert app.return_code == 0

    asyncio.run(run())
