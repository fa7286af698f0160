"""Line by line, the board and the job say when a job is likely to be ready."""

import contextlib
from collections import deque
from datetime import timedelta
from pathlib import Path

import pytest
from lamp import START, make_shop, play_text
from listener import Clock, Typist
from past_shop import invented_minutes, lamp_script, play_past

from baycompanion.job.events.moment import read_moment
from baycompanion.plain.board import Board
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.past_times import past_of
from baycompanion.views.board.ready_by import ready_by


@pytest.mark.parametrize("jobs", [15, 9])
def test_board_and_job_say_it_with_enough_past_jobs_only(tmp_path: Path, jobs: int) -> None:
    shop = make_shop(tmp_path / "shop")
    play_past(tmp_path, shop, invented_minutes(jobs, seed=5))
    script = lamp_script("WO 900", START, (10, 25, 12), "volts")
    state = play_text(script, tmp_path / "script", shop).state
    read = read_job(next(shop.jobs.glob("*wo-900")))
    clock = Clock()
    clock.at = read_moment(state.last_at) + timedelta(seconds=60)
    past = past_of(shop.jobs, {"lamp"})["lamp"]
    expected = ready_by(read.procedure, state, past, clock())
    typist = Typist(clock, deque(["1", "board", "quit"]))
    with contextlib.suppress(EOFError):
        Board(shop, typist, clock).walk()
    row = next(line for line in typist.heard if line.startswith("1. WO 900"))
    ready = [line for line in typist.heard if line.startswith("Ready: ")]
    if jobs == 9:
        assert expected is None and ready == [] and "likely" not in row
    else:
        assert expected is not None and ready == [f"Ready: {expected}."]
        assert f" · ready: {expected} · now: " in row
