"""`handover`: where the sheet goes, what is told, and the exit code."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from bay import LISTS, T1
from click.testing import Result
from test_commands import begin, one_sentence

from baycompanion.exits import Exit
from baycompanion.job.actions import Abandon
from baycompanion.store.job.open_job import OpenJob

Run = Callable[..., Result]


@pytest.fixture
def job(run: Run) -> str:
    """Return the name of a job that was just begun."""
    return begin(run)


def test_the_sheet_goes_into_the_folder_of_the_job(run: Run, job: str, shop_folder: Path) -> None:
    result = run("handover", job)
    path = shop_folder / "jobs" / job / "handover.html"
    assert (result.exit_code, result.stdout) == (Exit.DONE, f"{path}\n")
    assert "Open it in a browser" in result.stderr
    assert path.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_a_job_under_way_is_told_and_marked(run: Run, job: str, shop_folder: Path) -> None:
    result = run("handover", job)
    assert f"{job} is still under way, so this sheet is provisional." in result.stderr
    page = (shop_folder / "jobs" / job / "handover.html").read_text(encoding="utf-8")
    assert "PROVISIONAL, job still under way" in page


def test_a_job_that_has_ended_is_not_provisional(run: Run, job: str, shop_folder: Path) -> None:
    opened = OpenJob(shop_folder / "jobs" / job, LISTS, T1, datetime.now(UTC))
    opened.act(Abandon(abandon="the owner took the van"), T1, datetime.now(UTC))
    opened.leave()
    result = run("handover", job)
    assert "provisional" not in result.stderr
    page = (shop_folder / "jobs" / job / "handover.html").read_text(encoding="utf-8")
    assert "PROVISIONAL" not in page
    assert "the owner took the van" in page


def test_out_writes_the_page_elsewhere_and_nothing_into_the_job(
    run: Run, job: str, shop_folder: Path, tmp_path: Path
) -> None:
    folder = shop_folder / "jobs" / job
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    result = run("handover", job, "--out", "owner.html")
    assert (result.exit_code, result.stdout) == (Exit.DONE, "owner.html\n")
    assert (tmp_path / "owner.html").is_file()
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_the_name_and_the_warranty_of_the_shop_stand_on_it(
    run: Run, job: str, shop_folder: Path
) -> None:
    (shop_folder / "shop.yaml").write_text(
        "name: The bay by the river\nwarranty:\n  - Twelve months on our work.\n", encoding="utf-8"
    )
    assert run("handover", job).exit_code == Exit.DONE
    page = (shop_folder / "jobs" / job / "handover.html").read_text(encoding="utf-8")
    assert "The bay by the river" in page
    assert "Twelve months on our work." in page


def test_a_name_of_nothing_is_told_in_one_line(run: Run) -> None:
    assert "There is no job “nothing”." in one_sentence(run("handover", "nothing"), Exit.TROUBLE)


@pytest.mark.parametrize("out", ["", ".", "/"])
def test_a_target_that_is_no_file_is_told(run: Run, job: str, out: str) -> None:
    told = one_sentence(run("handover", job, "--out", out), Exit.UNUSABLE)
    assert told.startswith("--out names no file.")


def test_a_target_in_no_folder_is_told(run: Run, job: str, tmp_path: Path) -> None:
    target = tmp_path / "gone" / "owner.html"
    told = one_sentence(run("handover", job, "--out", str(target)), Exit.TROUBLE)
    assert told.startswith(f"{target} cannot be written: ")


def test_a_torn_journal_is_told_and_the_sheet_written(
    run: Run, job: str, shop_folder: Path
) -> None:
    with (shop_folder / "jobs" / job / "journal.jsonl").open("ab") as file:
        file.write(b'{"seq": 2, "a')
    result = run("handover", job)
    assert result.exit_code == Exit.DONE
    assert "The last line of its journal is torn" in result.stderr


def test_the_sheet_of_a_job_that_lost_its_end_is_written_elsewhere_alone(
    run: Run, job: str, shop_folder: Path, tmp_path: Path
) -> None:
    """It took the place of the sheet that still told how the job had ended."""
    folder = shop_folder / "jobs" / job
    opened = OpenJob(folder, LISTS, T1, datetime.now(UTC))
    opened.act(Abandon(abandon="the owner took the van"), T1, datetime.now(UTC))
    opened.leave()
    run("handover", job)
    before = (folder / "handover.html").read_bytes()
    journal = folder / "journal.jsonl"
    journal.write_bytes(b"".join(journal.read_bytes().splitlines(keepends=True)[:-1]))
    told = one_sentence(run("handover", job), Exit.TROUBLE)
    assert "holds events that the journal beside it has lost" in told
    assert told.endswith("Write it elsewhere with --out.")
    assert (folder / "handover.html").read_bytes() == before
    assert run("handover", job, "--out", "left.html").exit_code == Exit.DONE
