"""The lists of functions on the screen: what they cost in keys, and how they are compared."""

import asyncio
from datetime import UTC, datetime
from pathlib import Path

import pytest
from bench import Bench, job_screen, press, shown
from fitted import FITTED_TEXT
from test_whole_job import job_of
from textual.pilot import Pilot
from walker import Clock, Walker, picture

from baycompanion.job.actions import Accept, Answer, TickRest
from baycompanion.screens.app import BayApp
from baycompanion.store.open_job import OpenJob
from baycompanion.store.shop import open_shop

START = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
LEAST_FUNCTIONS = 40
MOST_KEYS_FOR_THEM = 80
"""Both from the order for this work: 40 functions in under 80 keys when all is well."""


class Counting(Walker):
    """Answers the lists of functions group by group, and counts what each step costs in keys."""

    async def _inspect(self, card: object, step: object) -> None:
        while not all(row.answered for row in self.card.rows):
            grouped = any(key.key == "8" for key in self.screen._pane._keys)
            await self.press("8" if grouped else "9")
        await self.press("enter")

    async def keys_for(self, step: str) -> int:
        """Walk to `step` and answer it; return the keys that answering it took."""
        await self.walk_to(step)
        before = self.presses
        await self.answer(self.card)
        return self.presses - before


def test_forty_functions_before_and_after_take_fewer_than_eighty_keys(tmp_path: Path) -> None:
    shop = open_shop(tmp_path / "shop")
    folder = job_of(shop, "receiver-swap")

    async def drive() -> tuple[int, int]:
        clock = Clock(START)
        app = BayApp(shop, folder, shop.person("T1"), clock)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            walker = Counting(pilot, clock, picture(shop.folder), frozenset())
            keys = [await walker.keys_for("equipment-seen")]  # each by its own key: the dearest
            await walker.walk_to("functions-before")
            functions = len(walker.card.rows)
            keys.append(await walker.keys_for("functions-before"))
            keys.append(await walker.keys_for("functions-after"))
            await app.action_quit()
        return functions, sum(keys)

    functions, keys = asyncio.run(drive())
    assert functions >= LEAST_FUNCTIONS
    assert keys < MOST_KEYS_FOR_THEM


@pytest.fixture
def fitted(tmp_path: Path) -> Bench:
    bench = Bench(tmp_path / "shop")
    bench.use(FITTED_TEXT)
    return bench


def test_each_choice_takes_one_key_and_the_rest_one_more(fitted: Bench) -> None:
    folder = fitted.new_job()
    fitted.act(folder, Accept(accept="hazards"))
    fitted.press(folder, "1", "9", "enter")
    assert fitted.last(folder, "answered")["data"]["settled"] == {
        "roof": "yes",
        "seats": "no",
        "camera": "no",
    }


def test_the_rest_of_a_group_and_the_rest_as_yes_take_a_key_each(fitted: Bench) -> None:
    folder = fitted.new_job()
    fitted.act(folder, Accept(accept="hazards"))
    fitted.press(folder, "8", "7", "enter")
    assert fitted.last(folder, "answered")["data"]["settled"] == {
        "roof": "no",
        "seats": "no",
        "camera": "yes",
    }


def test_how_it_was_before_is_hidden_until_the_line_is_answered(fitted: Bench) -> None:
    folder = fitted.new_job()
    fitted.act(
        folder,
        Accept(accept="hazards"),
        TickRest(tick_rest="fitted", value="yes"),
        Answer(answer="fitted"),
        TickRest(tick_rest="before"),
        Answer(answer="before"),
        Answer(answer="camera-on"),
        Answer(answer="asked", value="agreed"),
        Answer(answer="agreed", value="the owner"),
    )

    async def walk(pilot: Pilot[int]) -> None:
        assert [row.word for row in job_screen(pilot).card.rows] == ["", "", ""]
        await press(pilot, "2")
        await pilot.press(*"weak", "enter")
        words = [row.word for row in job_screen(pilot).card.rows]
        assert words == ["faulty, was works: worse", "", ""]
        await press(pilot, "8", "enter")
        assert "worse" in shown(pilot, "#last")

    fitted.run(walk, folder)
    job = OpenJob(folder, fitted.shop.lists, fitted.shop.person("T1"), fitted.clock())
    assert [fault.item for fault in job.state.faults] == ["horn"]
    job.leave()
