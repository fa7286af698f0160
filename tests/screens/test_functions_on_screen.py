"""The lists of functions on the screen, as they are compared; what they cost: test_whole_job.py."""

from pathlib import Path

import pytest
from bench import Bench, job_screen, press, shown
from fitted import FITTED_TEXT
from textual.pilot import Pilot

from baycompanion.job.actions import Accept, Answer, TickRest
from baycompanion.store.job.open_job import OpenJob


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
