"""`audit --phases`: the times of the phases in closed jobs, as text and for programs."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result
from past_shop import invented_minutes, play_past

from baycompanion.exits import Exit
from baycompanion.store.shop import open_shop

Run = Callable[..., Result]

JOBS = 22

README = Path(__file__).parents[2] / "README.md"


@pytest.fixture
def jobs(shop_folder: Path, tmp_path: Path) -> list[Path]:
    shop = open_shop(shop_folder)
    return [each.folder for each in play_past(tmp_path, shop, invented_minutes(JOBS, seed=5))]


def test_every_phase_is_told_with_its_chart(run: Run, jobs: list[Path]) -> None:
    result = run("audit", "--phases")
    assert result.exit_code == Exit.DONE, result.stderr
    assert result.stderr == f"Looked at: {JOBS} closed jobs.\n"
    lines = result.stdout.splitlines()
    assert lines[0] == "lamp, revision 2"
    heads = [line for line in lines if line.endswith(("(take-in)", "(fit)", "(keys-back)"))]
    assert heads == [
        "  Take the vehicle in (take-in)",
        "  Fit the lamp (fit)",
        "  Give the keys back (keys-back)",
    ]
    assert result.stdout.count("    Time worked, oldest to newest:") == 3
    assert max(map(len, lines)) <= 80


def test_the_readme_shows_what_is_printed(run: Run, jobs: list[Path]) -> None:
    text = README.read_text(encoding="utf-8")
    shown = text[text.index("Fit the lamp (fit)") :].split("```")[0].splitlines()
    assert len(shown) > 15
    told = [line.removeprefix("  ") for line in run("audit", "--phases").stdout.splitlines()]
    begin = told.index("Fit the lamp (fit)")
    assert told[begin : begin + len(shown)] == shown


def test_json_holds_the_times_that_the_records_hold(run: Run, jobs: list[Path]) -> None:
    told = json.loads(run("audit", "--phases", "--json").stdout)
    assert (told["jobs"], told["unread"]) == (JOBS, [])
    for phase in told["phases"]:
        kept = [
            next(each for each in record["phases"] if each["phase"] == phase["phase"])
            for record in (json.loads((job / "record.json").read_bytes()) for job in jobs)
        ]
        assert [each["worked_seconds"] for each in phase["times"]] == [
            each["worked_seconds"] for each in kept
        ]
        assert phase["target_seconds"] == kept[-1]["target_seconds"]
        assert phase["chart"]["lower_seconds"] < phase["median_seconds"]
        assert phase["median_seconds"] < phase["chart"]["upper_seconds"]


def test_it_can_be_narrowed(run: Run, jobs: list[Path]) -> None:
    def counted(*only: str) -> int:
        return int(json.loads(run("audit", "--phases", "--json", *only).stdout)["jobs"])

    assert counted("--since", "2026-03-12") == JOBS - 10
    assert counted("--by", "S1") == JOBS
    assert counted("--by", "T2") == 0
    assert counted("--procedure", "lamp") == JOBS
    assert counted("--procedure", "other") == 0
    told = run("audit", "--phases", "--procedure", "other").stderr
    assert told == (
        "Looked at: 0 closed jobs. No job fits what the audit was narrowed to: procedure other.\n"
    )
    assert "fits" not in run("audit", "--phases", "--by", "S1").stderr


def test_a_record_that_cannot_be_read_is_named_and_the_rest_is_told(
    run: Run, jobs: list[Path], tmp_path: Path, shop_folder: Path
) -> None:
    (jobs[0] / "record.json").write_text("no record", encoding="utf-8")
    result = run("audit", "--phases", str(shop_folder), str(tmp_path / "none"))
    assert result.exit_code == Exit.UNUSABLE
    assert f"{jobs[0] / 'record.json'} is no record that can be read." in result.stderr
    assert f"{tmp_path / 'none'} is no shop folder: it has no jobs.\n" in result.stderr
    assert result.stderr.endswith(f"Looked at: {JOBS - 1} closed jobs. Not read: 2.\n")
    assert result.stdout.startswith(f"{shop_folder} · lamp, revision 2\n")


def test_a_shop_named_in_two_ways_counts_once(
    run: Run, jobs: list[Path], shop_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(shop_folder.parent)
    result = run("audit", "--phases", shop_folder.name, str(shop_folder))
    assert result.stderr == f"Looked at: {len(jobs)} closed jobs.\n"


def test_a_shop_without_closed_jobs_has_nothing_to_tell(run: Run, shop_folder: Path) -> None:
    (shop_folder / "jobs").mkdir(exist_ok=True)
    result = run("audit", "--phases")
    assert (result.exit_code, result.stdout) == (Exit.DONE, "")
    assert result.stderr == "Looked at: 0 closed jobs.\n"


def test_the_page_holds_the_figures_that_are_printed(
    run: Run, jobs: list[Path], tmp_path: Path
) -> None:
    page = tmp_path / "times.html"
    result = run("audit", "--phases", "--html", str(page))
    assert (result.exit_code, result.stdout) == (Exit.DONE, f"{page}\n")
    text = page.read_text("utf-8")
    printed = run("audit", "--phases").stdout
    shown = [line.strip() for line in printed.splitlines() if " · median " in line]
    named = [line.split("|")[0].strip() for line in printed.splitlines() if "centre " in line]
    assert len(shown) == len(named) == 3
    assert all(line in text for line in (*shown, *(name for name in named if "," not in name)))
