"""Keys that come while a job is opened wait until its screen is laid out, and count there."""

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest
from bench import Bench, press
from textual.app import App, ComposeResult
from textual.events import Key
from textual.pilot import Pilot

from baycompanion.job.deciding.draft import Person
from baycompanion.screens.app import BayApp
from baycompanion.screens.job.job import JobScreen
from baycompanion.screens.listing import Listing
from baycompanion.screens.typed.door import LEAVE


@pytest.fixture
def meanwhile(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Let a key come while a job is opened: the list had no use for it and passed it on."""
    opens = BayApp.open_job

    def press_meanwhile(key: str) -> None:
        def open_job(app: BayApp, folder: Path, who: Person | None) -> str | None:
            pressed = Key(key, None)
            pressed._set_forwarded()
            app.post_message(pressed)
            return opens(app, folder, who)

        monkeypatch.setattr(BayApp, "open_job", open_job)

    return press_meanwhile


@pytest.mark.parametrize("key", ["escape", "f1", "f2", "f4", "f7", "f8", "f9", "f10", "7"])
def test_a_key_that_comes_while_a_job_is_opened_finds_its_screen(
    bench: Bench, meanwhile: Callable[[str], None], key: str
) -> None:
    bench.job()
    meanwhile(key)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter")
        assert any(isinstance(each, JobScreen) for each in pilot.app.screen_stack)
        await press(pilot, LEAVE)
        assert pilot.app.return_value == 0

    bench.run(walk)


def test_of_two_keys_that_come_together_each_answers_a_line_of_its_own(bench: Bench) -> None:
    """Both acted on the line in hand: the second answer stood at it, and the next line had none."""
    folder = bench.job(to="before")

    async def walk(pilot: Pilot[int]) -> None:
        for key in "13":
            pilot.app.post_message(Key(key, key))
        for _ in range(5):
            await pilot.pause()

    bench.run(walk, folder)
    ticked = [each["data"] for each in bench.journal(folder) if each["kind"] == "ticked"]
    lines = [(each["item"], each["outcome"]) for each in ticked if each["step"] == "before"]
    assert lines == [("horn", "works"), ("low-beam", "not fitted")]


def test_of_two_keys_that_come_together_none_answers_a_card_that_nobody_has_read(
    bench: Bench,
) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        for key in "11":
            pilot.app.post_message(Key(key, key))
        for _ in range(5):
            await pilot.pause()

    before = bench.kinds(folder).count("answered")
    bench.run(walk, folder)
    assert bench.kinds(folder).count("answered") == before + 1


def test_a_page_key_that_comes_before_a_list_has_room_moves_once_it_has() -> None:
    class Listed(App[None]):
        def compose(self) -> ComposeResult:
            yield Listing(*map(str, range(100)))

        def on_mount(self) -> None:
            listing = self.query_one(Listing)
            listing.highlighted = 0
            listing.action_page_down()

    async def run() -> None:
        async with Listed().run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            assert pilot.app.query_one(Listing).highlighted in range(15, 25)

    asyncio.run(run())
