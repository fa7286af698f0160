"""Parts scanned on the screen: a reader types a code and Enter in one burst, and again."""

from pathlib import Path

import pytest
from bay import keys_in
from bench import Bench, burst, job_screen, press, shown
from ordered import ORDER
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.job.actions import Accept
from baycompanion.screens.form.form import FormScreen
from baycompanion.store.job.folder import make_job

BURST = "4711\n0815\n0815\n0815\n"


@pytest.fixture
def folder(bench: Bench) -> Path:
    """Return a job with an order that stands at its parts."""
    made = make_job(bench.shop.jobs, bench.loaded, keys_in(when=bench.clock(), order=ORDER))
    bench.act(made, Accept(accept="hazards"))
    bench.finish(made, "parts")
    return made


def ticked(bench: Bench, folder: Path) -> list[tuple[str, str]]:
    return [
        (line["data"]["item"], line["data"]["outcome"])
        for line in bench.journal(folder)
        if line["kind"] == "ticked" and line["data"]["step"] == "parts"
    ]


def test_codes_read_in_one_burst_tick_their_parts_one_after_the_other(
    bench: Bench, folder: Path
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        assert [row.text for row in job_screen(pilot).card.rows] == ["Receiver", "Crimp cap × 8"]
        assert "Order O-77" in shown(pilot, "#pieces")
        assert "On the order, and not needed here: Phone lead" in shown(pilot, "#pieces")
        await burst(pilot, BURST)
        for _ in range(5):
            await pilot.pause()
        assert pilot.app.screen.query_one("#entry", Input).value == ""
        assert [row.word for row in job_screen(pilot).card.rows] == ["here", "3 of 3 here"]
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "odometer"

    bench.run(walk, folder)
    assert ticked(bench, folder) == [
        ("receiver", "here"),
        ("cap", "missing"),
        ("cap", "missing"),
        ("cap", "here"),
    ]


def test_a_code_begun_while_the_one_before_is_saved_is_not_lost(bench: Bench, folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await burst(pilot, "4711\n08")
        for _ in range(5):
            await pilot.pause()
        assert pilot.app.screen.query_one("#entry", Input).value == "08"
        await burst(pilot, "15\n")
        for _ in range(5):
            await pilot.pause()

    bench.run(walk, folder)
    assert ticked(bench, folder) == [("receiver", "here"), ("cap", "missing")]


def test_a_code_that_is_not_on_the_order_offers_wrong(bench: Bench, folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await burst(pilot, "123\n")
        for _ in range(5):
            await pilot.pause()
        assert isinstance(pilot.app.screen, FormScreen)
        lead = str(pilot.app.screen.query_one("#form-lead").content)  # type: ignore[attr-defined]
        assert lead == "“123” is not on the order O-77."
        await pilot.press("enter", *"the wide one", "enter")

    bench.run(walk, folder)
    data = bench.last(folder, "ticked")["data"]
    assert (data["item"], data["outcome"], data["code"]) == ("receiver", "wrong", "123")
    assert data["words"] == "the wide one"


def test_the_number_of_an_answer_and_enter_is_that_answer(bench: Bench, folder: Path) -> None:
    bench.press(folder, "1", "enter", "2", "enter")
    assert ticked(bench, folder) == [("receiver", "here"), ("cap", "missing")]


@pytest.mark.parametrize("typed", ["missing", "MISSING"])
def test_the_label_of_an_answer_and_enter_is_that_answer(
    bench: Bench, folder: Path, typed: str
) -> None:
    bench.press(folder, *typed, "enter", *"here", "enter")
    assert ticked(bench, folder) == [("receiver", "missing"), ("cap", "here")]


@pytest.mark.parametrize("keys", [("f4",), ("6", "enter")])
def test_one_key_pauses_with_the_reason_filled_in(
    bench: Bench, folder: Path, keys: tuple[str, ...]
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "2", "enter")
        assert "Missing: Receiver. 6 or F4 pauses the job with that reason." in shown(
            pilot, "#pieces"
        )
        await press(pilot, *keys, "enter", *"nothing", "enter", *"look", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "paused")["data"]["reason"] == "Missing: Receiver"


def test_without_an_order_a_part_is_ticked_off_with_its_code(bench: Bench) -> None:
    plain = bench.job(to="parts")
    bench.press(plain, "5", *"4711", "enter", "1", "enter")
    codes = [
        line["data"].get("code")
        for line in bench.journal(plain)
        if line["kind"] == "ticked" and line["data"]["step"] == "parts"
    ]
    assert codes == ["4711", None]


def test_a_reader_that_ends_with_a_line_feed_works_too(bench: Bench, folder: Path) -> None:
    bench.press(folder, *"4711", "ctrl+j", *"0815", "ctrl+j")
    assert ticked(bench, folder) == [("receiver", "here"), ("cap", "missing")]


def test_arrows_choose_the_line_that_an_answer_is_for(bench: Bench, folder: Path) -> None:
    bench.press(folder, "down", "down", "4", "enter", "up", "up", "1", "enter")
    assert ticked(bench, folder) == [("cap", "damaged"), ("receiver", "here")]
