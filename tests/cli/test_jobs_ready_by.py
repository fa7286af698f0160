"""`jobs` says when a job is likely to be ready, for people and for programs."""

import json
from collections.abc import Callable
from pathlib import Path

from click.testing import Result
from freezegun import freeze_time
from lamp import START, play_text
from past_shop import invented_minutes, lamp_script, play_past

from baycompanion.store.job.past_times import past_of
from baycompanion.store.shop import open_shop

Run = Callable[..., Result]


def make(shop_folder: Path, tmp_path: Path, jobs: int) -> None:
    shop = open_shop(shop_folder)
    play_past(tmp_path, shop, invented_minutes(jobs, seed=5))
    script = lamp_script("WO 900", START, (10, 25, 12), "volts")
    play_text(script, tmp_path / "script", shop)


def row_of(run: Run) -> dict[str, object]:
    [row] = [
        row for row in json.loads(run("jobs", "--json").stdout) if row["work_order"] == "WO 900"
    ]
    assert isinstance(row, dict)
    return row


def test_jobs_tells_the_work_that_is_left(run: Run, shop_folder: Path, tmp_path: Path) -> None:
    make(shop_folder, tmp_path, 15)
    rests = sorted(
        past.worked["fit"] + past.worked["keys-back"]
        for past in past_of(shop_folder / "jobs", {"lamp"})["lamp"]
    )
    with freeze_time("2026-03-02T12:00:00Z"):
        assert row_of(run)["ready"] == {
            "likely_seconds": rests[7],
            "nine_in_ten_seconds": rests[14],
            "likely_by": None,
            "nine_in_ten_by": None,
            "jobs": 15,
            "past_jobs": 15,
        }
        told = run("jobs").stdout
    assert " of work left, 9 in 10 within " in told and told.count("(15 jobs)") == 1


def test_jobs_tells_nothing_below_ten_past_jobs(
    run: Run, shop_folder: Path, tmp_path: Path
) -> None:
    make(shop_folder, tmp_path, 9)
    assert row_of(run)["ready"] is None
    assert "work left" not in run("jobs").stdout
