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
