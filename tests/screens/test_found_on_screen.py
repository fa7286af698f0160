"""An ended job is found by plate, VIN or work order: to be read, or to come back from."""

from datetime import timedelta
from pathlib import Path

import pytest
from bench import Bench, Click, Typed, job_screen, press, shown
from came_back import COME_BACK
from textual.pilot import Pilot
from textual.widgets import OptionList

from baycompanion.job.actions import Abandon
from baycompanion.job.events.carried import Vehicle
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.board.found import FoundScreen
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH
from baycompanion.views.board.line import MOST_ENDED

OLD = MOST_ENDED + 2
"""Ended jobs of the shop: two more than the board lists."""


@pytest.fixture
def ended(bench: Bench) -> list[Path]:
    """Give up so many jobs, an hour apart, each on a vehicle of its own; the first are the oldest.

    The first has a VIN too.
    """
    (bench.shop.procedures / "comeback.yaml").write_text(COME_BACK, encoding="utf-8")
    folders = []
    for number in range(OLD):
        vin = "" if number else "00DEM0000TEST0042"
        vehicle = Vehicle(description=f"van {number}", plate=f"DEMO {number:02}", vin=vin)
        folders.append(bench.new_job(f"WO {100 + number}", vehicle))
        bench.act(folders[-1], Abandon(abandon="sold"))
        bench.clock.at += timedelta(hours=1)
    return folders


def found(pilot: Pilot[int]) -> list[str]:
    """Return the lines of what was found."""
    assert isinstance(pilot.app.screen, FoundScreen)
    return [str(each.prompt) for each in pilot.app.screen.query_one("#found", OptionList).options]


@pytest.mark.parametrize("sought", ["demo-00", "test 0042", "wo100"])
def test_one_that_the_board_lists_no_more_is_found_shown_and_read(
    bench: Bench, ended: list[Path], sought: str
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        listed = pilot.app.screen.query_one("#jobs", OptionList).options
        assert not any("WO 100" in str(each.prompt) for each in listed)
        await press(pilot, "f", Typed(sought), "enter")
        assert found(pilot) == [
            "  2026-03-02 · WO 100 · van 0 · Fit a small receiver · abandoned\n"
            "    plate DEMO 00 · VIN 00DEM0000TEST0042"
        ]
        assert shown(pilot, "#found-title") == (
            f"1 ended job fits “{sought}”   (Enter opens one to be read)"
        )
        await press(pilot, "enter")
        assert job_screen(pilot).card.kind == "ended"
        assert "WO 100 · van 0" in shown(pilot, "#where")
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)

    bench.run(walk)


def test_those_that_fit_stand_newest_first_and_c_begins_a_comeback_from_the_one_in_hand(
    bench: Bench, ended: list[Path]
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f", Typed("demo 0"), "enter")
        assert [line.split(" · ")[1] for line in found(pilot)] == [
            f"WO {number}" for number in range(109, 99, -1)
        ]
        await press(pilot, "end", "c")
        assert isinstance(pilot.app.screen, FormScreen)
        said = shown(pilot, "#form-lead")
        assert "It comes back from WO 100, Fit a small receiver" in said
        await press(pilot, "enter", Typed("WO 200"), *["enter"] * 6)
        assert "WO 200 · van 0 · Look at what came back" in shown(pilot, "#where")

    bench.run(walk)
    [made] = [job for job in bench.shop.jobs.iterdir() if job not in ended]
    opened = bench.journal(made)[0]["data"]
    assert opened["earlier"]["job"] == ended[0].name
    assert opened["vehicle"]["plate"] == "DEMO 00"


def test_c_without_an_ended_job_in_hand_asks_which_and_enter_begins_the_comeback(
    bench: Bench, ended: list[Path]
) -> None:
    bench.new_job("WO 300", Vehicle(description="red car"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "c")
        assert shown(pilot, "#form-title") == "Which job does it come back from?"
        await press(pilot, Typed("demo 01"), "enter")
        assert len(found(pilot)) == 1, "one that fits alone is shown before it is taken"
        assert shown(pilot, "#found-title").endswith("(Enter: the vehicle comes back from it)")
        await press(pilot, "enter")
        assert "It comes back from WO 101" in shown(pilot, "#form-lead")
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)
        await press(pilot, "c", Typed("demo 01"), "enter", "o")
        assert job_screen(pilot).card.kind == "ended"

    bench.run(walk)


def test_c_on_an_ended_job_asks_nothing_first(bench: Bench, ended: list[Path]) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "c")
        assert f"It comes back from WO {99 + OLD}" in shown(pilot, "#form-lead")

    bench.run(walk)


def test_where_none_fits_the_form_stays_and_says_what_to_do(
    bench: Bench, ended: list[Path]
) -> None:
    bench.new_job("WO 300", Vehicle(description="red car", plate="TEST 9"))
    broken = bench.new_job("WO 301")
    (broken / "journal.jsonl").write_bytes(b"junk\n")
    told = {
        "zz 1": "No ended job has “zz 1” in its plate, VIN or work order. 1 job cannot be read and "
        "may be it: the board says why. Type less of it.",
        "test9": "No ended job has “test9” in its plate, VIN or work order. Under way, and on the "
        "board: WO 300. 1 job cannot",
        "--": "“--” has no letter and no digit. Type some of what is sought.",
    }

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f")
        for typed, said in told.items():
            await press(pilot, Typed(typed), "enter")
            assert isinstance(pilot.app.screen, FormScreen)
            assert shown(pilot, "#form-error").startswith(said)
            assert "earlier" not in shown(pilot, "#form-error"), "no job is begun here"
        await press(pilot, Typed("demo 00"), "enter")
        assert len(found(pilot)) == 1

    bench.run(walk)


def test_everything_is_reached_by_touch_in_the_smallest_window(
    bench: Bench, ended: list[Path]
) -> None:
    async def touch(pilot: Pilot[int], does: str) -> None:
        strip = pilot.app.screen.query_one(KeyStrip)
        [key] = [each for each in strip.keys if each.does == does]
        assert await pilot.click(strip, offset=(key.begins + 1, key.line))
        await pilot.pause()

    async def walk(pilot: Pilot[int]) -> None:
        await touch(pilot, "Find")
        await press(pilot, Typed("demo 0"), Click("#form-accept"))
        await touch(pilot, "Find again")
        await press(pilot, Typed("demo 00"), Click("#form-accept"))
        assert len(found(pilot)) == 1
        await touch(pilot, "Back")
        assert isinstance(pilot.app.screen, BoardScreen)
        await touch(pilot, "Find")
        await press(pilot, Typed("demo 00"), Click("#form-accept"))
        await touch(pilot, "Comeback")
        assert "It comes back from WO 100" in shown(pilot, "#form-lead")
        await press(pilot, Click("#form-back"))
        await touch(pilot, "Find")
        await press(pilot, Typed("demo 00"), Click("#form-accept"), Click("#found", 1))
        assert job_screen(pilot).card.kind == "ended"

    bench.run(walk, size=(LEAST_WIDTH, LEAST_HEIGHT))


def test_more_than_anybody_looks_through_are_counted_and_the_newest_shown(
    bench: Bench, ended: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in ("views", "working"):
        monkeypatch.setattr(f"baycompanion.{module}.board.finding.MOST_FOUND", 3)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f", Typed("demo"), "enter")
        assert [line.split(" · ")[1] for line in found(pilot)] == ["WO 113", "WO 112", "WO 111"]
        assert shown(pilot, "#found-more") == (
            f"These are the newest 3 of {OLD}. Type more of it to see fewer."
        )

    bench.run(walk)


def test_another_plate_than_the_earlier_job_had_is_told_when_the_job_opens(
    bench: Bench, ended: list[Path]
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f", Typed("demo 01"), "enter", "c", "enter", Typed("WO 200"), "enter")
        await press(pilot, "enter", "enter", Typed("TEST 9"), "enter", "enter", "enter")
        assert shown(pilot, "#message").startswith(
            "Warning: the plate is TEST 9, and in the earlier job WO 101 it was DEMO 01; "
        )
        await press(pilot, "1")
        assert job_screen(pilot).card.kind == "step", "it holds nothing up"

    bench.run(walk)


def test_an_ended_job_is_read_without_its_vehicle_in_front_of_anybody(
    bench: Bench, ended: list[Path]
) -> None:
    """Somebody at work looked an old job up, and was asked whether that vehicle stood there."""
    bench.new_job("WO 300", Vehicle(description="red car"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "home", "enter")
        assert "WO 300" in shown(pilot, "#where")
        await press(pilot, "f9", "1", "f", Typed("demo 00"), "enter", "enter")
        assert job_screen(pilot).card.kind == "ended"
        await press(pilot, "escape", "enter")
        assert "WO 300" in shown(pilot, "#where"), "and the vehicle at work is still the same"

    bench.run(walk)
