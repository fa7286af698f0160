"""A key held down answers one step; one that is pressed answers as fast as a person reads."""

from datetime import timedelta

import pytest
from bay import START
from bench import Bench, Typed, clock_of, job_screen, press, shown
from textual.pilot import Pilot
from walker import Clock

from baycompanion.screens.job.held_enter import PAUSE, HeldEnter


async def hold(pilot: Pilot[int], *gaps: float) -> None:
    """Hold Enter down: press it once, and again after each of these seconds."""
    await pilot.press("enter")
    for gap in gaps:
        clock_of(pilot).move(seconds=gap)
        await pilot.press("enter")


@pytest.mark.parametrize("gaps", [(0.66, *[0.04] * 20), (0.5, *[0.5] * 6), (0.0,) * 5])
def test_enter_held_down_answers_one_step_and_says_so(
    bench: Bench, gaps: tuple[float, ...]
) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        await hold(pilot, *gaps)
        assert job_screen(pilot).card.step == "keys"
        assert "Read, then press it." in shown(pilot, "#message")
        clock_of(pilot).move(seconds=0.8)
        await pilot.press("enter")
        assert shown(pilot, "#message") == ""

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["step"] == "keys"


def test_enter_held_down_reads_one_caution_and_not_the_next(bench: Bench) -> None:
    folder = bench.job(to="disconnect")

    async def walk(pilot: Pilot[int]) -> None:
        await hold(pilot, 0.5, 0.1, 0.1)

    before = bench.kinds(folder)
    bench.run(walk, folder)
    assert bench.kinds(folder)[len(before) :] == ["acknowledged"]


def test_after_another_key_enter_answers_at_once(bench: Bench) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        await pilot.press("enter", "down", "enter", "escape", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["step"] == "keys"


def test_enter_held_down_over_a_list_leaves_the_step_after_it_alone(bench: Bench) -> None:
    folder = bench.job(to="parts")
    before = len([kind for kind in bench.kinds(folder) if kind == "answered"])

    async def walk(pilot: Pilot[int]) -> None:
        await hold(pilot, *[0.1] * 40)
        assert job_screen(pilot).card.step == "odometer"

    bench.run(walk, folder)
    assert len([kind for kind in bench.kinds(folder) if kind == "answered"]) == before + 1


def test_enter_held_down_over_a_sheet_answers_none_of_its_lines(bench: Bench) -> None:
    folder = bench.job(to="before")

    async def walk(pilot: Pilot[int]) -> None:
        await hold(pilot, *[0.1] * 40)
        assert job_screen(pilot).card.step == "before"
        assert not any(row.answered for row in job_screen(pilot).card.rows)

    bench.run(walk, folder)


def test_the_enter_that_saves_a_form_does_not_answer_the_step_after_it(bench: Bench) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "2", Typed("nobody there"))
        await hold(pilot, 0.3, 0.1)
        assert job_screen(pilot).card.step == "keys"

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["step"] == "show"


def test_a_slow_disk_does_not_turn_one_enter_into_two() -> None:
    clock = Clock(START)
    enter = HeldEnter(clock)
    assert not enter.repeats("enter")
    clock.move(seconds=3)  # while the answer is saved
    enter.card_came()
    assert enter.repeats("enter")


def test_a_clock_that_is_set_back_holds_nobody_up() -> None:
    clock = Clock(START)
    enter = HeldEnter(clock)
    enter.repeats("enter")
    enter.card_came()
    clock.at -= timedelta(hours=1)
    assert not enter.repeats("enter")


def test_the_pause_is_counted_from_the_last_enter_whatever_it_did() -> None:
    clock = Clock(START)
    enter = HeldEnter(clock)
    enter.repeats("enter")
    enter.card_came()
    for _ in range(30):
        clock.at += PAUSE - timedelta(milliseconds=1)
        assert enter.repeats("enter")
    clock.at += PAUSE
    assert not enter.repeats("enter")
