"""A double touch does one thing: its second touch answers nothing that the first only brought."""

import pytest
from bench import Bench, Typed, job_screen, press, shown, touch
from textual.pilot import Pilot

from baycompanion.screens.double_touch import PAUSE


@pytest.mark.parametrize("gaps", [(0.25,), (0.5, 0.3, 0.3)])
def test_a_double_touch_answers_one_step_and_says_so(bench: Bench, gaps: tuple[float, ...]) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        await touch(pilot, "#key-0")
        for gap in gaps:
            await touch(pilot, "#key-0", later=gap)
        assert job_screen(pilot).card.step == "keys"
        assert "Read, then touch." in shown(pilot, "#message")
        await touch(pilot, "#key-0", later=PAUSE)
        assert shown(pilot, "#message") == ""

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["step"] == "keys"


def test_a_touch_elsewhere_answers_at_once(bench: Bench) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        await touch(pilot, "#key-0", column=2)
        await touch(pilot, "#key-0", column=12, later=0.3)

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["step"] == "keys"


def test_the_lines_of_a_list_are_answered_as_fast_as_a_finger_goes(bench: Bench) -> None:
    folder = bench.job(to="before")

    async def walk(pilot: Pilot[int]) -> None:
        for _ in range(3):
            await touch(pilot, "#key-0", later=0.3)

    before = bench.kinds(folder)
    bench.run(walk, folder)
    assert len(bench.kinds(folder)) - len(before) == 3


def test_a_double_touch_adds_to_a_list_and_does_not_save_it(bench: Bench) -> None:
    folder = bench.job(to="stations")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("88.1"))
        await touch(pilot, "#key-0")
        await touch(pilot, "#key-0", later=0.3)
        assert shown(pilot, "#entries") == " 1. 88.1"
        await touch(pilot, "#key-0", later=PAUSE)

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["entries"] == ["88.1"]


def test_a_double_touch_on_the_board_opens_a_job_and_looks_at_nothing(bench: Bench) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        back = bench.kinds(folder)
        await touch(pilot, "#jobs", 2, column=4)
        await touch(pilot, "#sequence", 2, column=4, later=0.2)
        assert job_screen(pilot).card.kind == "step"
        assert job_screen(pilot).card.step == "show"
        assert shown(pilot, "#message").startswith("Last entry ")
        assert bench.kinds(folder) == back

    bench.run(walk)
