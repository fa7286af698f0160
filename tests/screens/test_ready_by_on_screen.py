"""The board and the job say when a job is likely to be ready, once the past has been read."""

import asyncio
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

from bench import shown
from lamp import START, make_shop, play_text
from past_shop import invented_minutes, lamp_script, play_past
from textual.pilot import Pilot
from textual.widgets import OptionList
from walker import Clock

from baycompanion.job.events.moment import read_moment
from baycompanion.screens.app import BayApp
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.past_times import past_of
from baycompanion.views.board.ready_by import ready_by


@dataclass
class Seen:
    """What stood there before the past was read and after it."""

    board: list[list[str]] = field(default_factory=list)
    phase: list[str] = field(default_factory=list)
    expected: str = ""


async def settle(pilot: Pilot[int]) -> None:
    await pilot.pause()
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


def listed(pilot: Pilot[int]) -> list[str]:
    board = pilot.app.screen.query_one("#jobs", OptionList)
    return str(board.options[1].prompt).splitlines()


def look(tmp_path: Path, jobs: int, size: tuple[int, int] = (80, 24)) -> Seen:
    """Open the board of a shop with so many ended jobs, then the job under way."""
    shop = make_shop(tmp_path / "shop")
    play_past(tmp_path, shop, invented_minutes(jobs, seed=5))
    script = lamp_script("WO 900", START, (10, 25, 12), "volts")
    state = play_text(script, tmp_path / "script", shop).state
    read = read_job(next(shop.jobs.glob("*wo-900")))
    clock = Clock(read_moment(state.last_at) + timedelta(seconds=60))
    past = past_of(shop.jobs, {"lamp"})["lamp"]
    seen = Seen(expected=str(ready_by(read.procedure, state, past, clock()) or ""))

    async def drive() -> None:
        app = BayApp(shop, None, None, clock)
        async with app.run_test(size=size) as pilot:
            seen.board.append(listed(pilot))
            await settle(pilot)
            seen.board.append(listed(pilot))
            await pilot.press("enter")
            await settle(pilot)
            seen.phase.append(shown(pilot, "#phase"))
            await app.action_quit()

    asyncio.run(drive())
    return seen


def test_with_fifteen_past_jobs_board_and_job_say_the_same(tmp_path: Path) -> None:
    seen = look(tmp_path, 15)
    assert seen.expected.startswith("likely by ") and seen.expected.endswith(" (15 jobs)")
    _, progress, ready, waits = seen.board[-1]
    assert ready == f"  ready: {seen.expected}"
    assert progress.startswith("  Fit the lamp · step 2 of 6 · ")
    assert waits == "  now: Read the voltage at the lead."
    assert seen.phase == [f"Step 2 of 6 · 1 min of 10 min · {seen.expected}"]


def test_the_title_of_the_phase_comes_back_where_there_is_room(tmp_path: Path) -> None:
    seen = look(tmp_path, 15, (120, 36))
    assert seen.phase == [
        f"Step 2 of 6 · 1 min of 10 min · ready: {seen.expected} · phase 2 of 3: Fit the lamp"
    ]


def test_with_nine_past_jobs_nothing_is_said(tmp_path: Path) -> None:
    seen = look(tmp_path, 9)
    assert seen.expected == ""
    assert [line.split()[0] for line in seen.board[-1]] == ["WO", "Fit", "now:"]
    assert seen.phase == ["Step 2 of 6 · 1 min of 10 min · phase 2 of 3: Fit the lamp"]
