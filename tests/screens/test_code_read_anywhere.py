"""A code that is read where no field stands answers nothing, and is not lost without a word."""

from pathlib import Path

import pytest
from bay import keys_in
from bench import Bench, burst, job_screen, press, shown
from ordered import ORDER
from textual.events import Key
from textual.pilot import Pilot

from baycompanion.job.actions import Accept
from baycompanion.job.hands_actions import PauseWork
from baycompanion.screens.typed import code_reader
from baycompanion.screens.typed.code_reader import LEAST, MOST_ALIKE, TAIL, CodeReader
from baycompanion.store.job.folder import make_job

# Thirteen digits in order with the check digit of a GTIN-13 (worked by its rule); no article's.
CODE = "1234567890128"


@pytest.fixture
def ordered(bench: Bench) -> Path:
    """Return a job with an order, whose hazards are not accepted yet."""
    return make_job(bench.shop.jobs, bench.loaded, keys_in(when=bench.clock(), order=ORDER))


async def read(pilot: Pilot[int], text: str) -> str:
    """Read `text` with a reader; return what is said, in one line."""
    await burst(pilot, text)
    for _ in range(5):
        await pilot.pause()
    return " ".join(shown(pilot, "#message").split())


@pytest.mark.parametrize("end", ["\n", ""])
def test_a_code_read_at_a_step_without_a_field_presses_none_of_its_keys(
    bench: Bench, ordered: Path, end: str
) -> None:
    bench.act(ordered, Accept(accept="hazards"))

    async def walk(pilot: Pilot[int]) -> None:
        said = await read(pilot, f"{CODE}{end}")
        assert f"Scanned {CODE}: no field for it here, and nothing was answered." in said
        assert "takes it." in said

    before = bench.kinds(ordered)
    bench.run(walk, ordered)
    assert bench.kinds(ordered) == before


def test_a_code_read_at_the_resume_card_names_the_part_and_its_step(
    bench: Bench, ordered: Path
) -> None:
    bench.act(ordered, Accept(accept="hazards"))
    bench.finish(ordered, "parts")
    bench.act(ordered, PauseWork(pause="lunch", loose="nothing", first="look"))

    async def walk(pilot: Pilot[int]) -> None:
        said = await read(pilot, "4711\n")
        number = job_screen(pilot).job.procedure.number["parts"]
        assert said.startswith("Scanned 4711:")
        assert f"Step {number}, " in said
        assert said.endswith("takes Receiver of one unit.")
        await press(pilot, "enter")  # the resume card still stands, and its key still works
        assert job_screen(pilot).card.step == "parts"

    bench.run(walk, ordered)
    assert bench.kinds(ordered)[-1] == "resumed"


def test_a_code_read_after_the_parts_says_how_to_come_back_to_them(bench: Bench) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        assert (await read(pilot, f"{CODE}\n")).endswith("reopen it with F6 to scan there again.")

    bench.run(walk, folder)


def test_a_code_read_over_the_menu_chooses_nothing_of_it(bench: Bench) -> None:
    folder = bench.job(to="show")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f9")
        menu = pilot.app.screen
        await read_over(pilot)
        assert pilot.app.screen is menu
        assert [CODE in toast.message for toast in pilot.app._notifications] == [True]

    async def read_over(pilot: Pilot[int]) -> None:
        await burst(pilot, f"{CODE}\n")
        for _ in range(5):
            await pilot.pause()

    bench.run(walk, folder)


@pytest.mark.parametrize("keys", ["1", "1\n"])
def test_a_few_keys_at_once_are_still_keys(bench: Bench, keys: str) -> None:
    folder = bench.new_job()

    async def walk(pilot: Pilot[int]) -> None:
        assert "Scanned" not in await read(pilot, keys)

    bench.run(walk, folder)
    assert "hazards-accepted" in " ".join(bench.kinds(folder))


def held(text: str) -> CodeReader:
    reader = CodeReader()
    for letter in text:
        reader.hold(Key(letter, letter))
    return reader


def test_one_key_that_repeats_itself_is_no_code() -> None:
    reader = held("1" * MOST_ALIKE)
    assert reader.repeats and not reader.reads
    code, keys = reader.give()
    assert (code, len(keys)) == ("", MOST_ALIKE)


def test_a_code_may_begin_with_some_digits_alike() -> None:
    reader = held("0" * (MOST_ALIKE - 1) + "1")
    assert reader.reads and not reader.repeats
    assert reader.give() == ("00000001", ())


def test_enter_ends_a_code_and_no_less() -> None:
    enter = Key("enter", "\r")
    assert not held(CODE[: LEAST - 1]).ends(enter)
    assert held(CODE[:LEAST]).ends(enter)
    assert held(CODE).ends(Key("ctrl+j", "\n"))
    assert not held(CODE).ends(Key("f1", None))


def test_the_end_of_a_code_is_waited_for_longer_than_the_next_key() -> None:
    assert held("1").wait == code_reader.PACE
    assert held(CODE).wait == TAIL
