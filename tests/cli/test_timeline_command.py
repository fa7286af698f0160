"""`timeline`: what is printed where, the words of an override, and jobs that are damaged."""

import json
from collections.abc import Callable
from datetime import datetime, timedelta, timezone, tzinfo
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import Result
from lamp import START, play_text
from past_shop import lamp_script, play_past
from test_commands import begin, one_sentence

from baycompanion.commands import timeline as command
from baycompanion.exits import Exit
from baycompanion.store.shop import open_shop

Run = Callable[..., Result]


class Terminal:
    """Stands for a terminal, where the question is whether there is one."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def job(run: Run, shop_folder: Path, tmp_path: Path) -> str:
    """Return a closed lamp job of 10, 25 and 12 minutes."""
    [played] = play_past(tmp_path, open_shop(shop_folder), [(10, 25, 12)])
    return played.state.opened.job


def test_every_phase_is_told_with_its_time_and_when(run: Run, job: str) -> None:
    result = run("timeline", job)
    assert result.exit_code == Exit.DONE
    lines = result.stdout.splitlines()
    assert lines[0].startswith("WO 100 · ")
    assert "Times of day are those of UTC" in lines[1]
    phases = [line for line in lines if " worked, " in line]
    assert [line.split(":")[0] for line in phases] == [
        "Take the vehicle in",
        "Fit the lamp",
        "Give the keys back",
    ]


class Seasons(tzinfo):
    """A zone one hour ahead of UTC until the end of March, and two from then on."""

    def utcoffset(self, dt: datetime | None) -> timedelta:
        return timedelta(hours=1 if dt is None or dt.month <= 3 else 2)

    def dst(self, dt: datetime | None) -> timedelta:
        ahead = self.utcoffset(dt)
        return ahead - timedelta(hours=1)

    def tzname(self, dt: datetime | None) -> None:
        return None


def test_the_zone_is_named_as_it_was_on_the_day_of_the_job(
    run: Run, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    summer = datetime(2026, 6, 1, 12, tzinfo=Seasons())
    monkeypatch.setattr("baycompanion.cli.local_now", lambda: summer)
    lines = run("timeline", job).stdout.splitlines()
    assert lines[1] == "Times of day are those of UTC+01:00."
    assert any(line.startswith("09:30  Keys in: WO 100") for line in lines)


class Turn(Seasons):
    """The same, but for the clocks being set ahead at 08:35 UTC on the day of the job."""

    def fromutc(self, dt: datetime) -> datetime:
        ahead = 1 if dt.replace(tzinfo=None) < datetime(2026, 3, 2, 8, 35) else 2
        return dt.replace(tzinfo=timezone(timedelta(hours=ahead))) + timedelta(hours=ahead)


def test_clocks_that_were_set_ahead_during_the_job_are_named_with_their_moment(
    run: Run, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("baycompanion.cli.local_now", lambda: datetime(2026, 6, 1, tzinfo=Turn()))
    head = run("timeline", job).stdout.splitlines()[1]
    assert head.startswith("Times of day are those of UTC+01:00, from 2026-03-02 10:")
    assert head.endswith(" on those of UTC+02:00.")


def test_the_minutes_are_those_of_the_record(run: Run, job: str) -> None:
    told = run("timeline", job).stdout
    phases = json.loads(run("record", job, "--json").stdout)["phases"]
    assert len(phases) == 3
    for phase in phases:
        assert f"{phase['title']}: {phase['worked_seconds'] // 60} min worked" in told


def test_without_a_terminal_nothing_is_drawn_and_no_sign_is_needed(run: Run, job: str) -> None:
    assert not set(run("timeline", job).stdout) & set("█░■✓»┴")


def test_in_a_terminal_it_is_drawn_with_its_signs_explained(
    run: Run, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(command, "sys", SimpleNamespace(stdout=Terminal()))
    monkeypatch.setenv("COLUMNS", "80")
    lines = run("timeline", job).stdout.splitlines()
    assert max(map(len, lines)) <= 80
    bars = [line.count("█") for line in lines[2:5]]
    assert [line[:5] for line in lines[2:5]] == [" Take", " Fit ", " Give"]
    for bar, minutes in zip(bars, (10, 25, 12), strict=True):
        assert bar / sum(bars) == pytest.approx(minutes / 47, abs=0.05)
    assert "█ worked" in lines
    assert any(line.startswith("[  08:30  Keys in: WO 100") for line in lines)
    assert "08:30" in next(line for line in lines if "09:00" in line)
    assert not set(run("--plain", "timeline", job).stdout) & set("█░■✓»┴")


def test_a_job_under_way_is_told_as_far_as_it_went(run: Run) -> None:
    job = begin(run)
    result = run("timeline", job)
    assert result.exit_code == Exit.DONE
    assert "is not ended here" in result.stderr
    assert "Keys in: " in result.stdout


def test_a_job_is_found_by_its_work_order(run: Run, job: str) -> None:
    assert run("timeline", "wo 100").stdout == run("timeline", job).stdout


def test_a_name_of_nothing_is_told_in_one_sentence(run: Run) -> None:
    result = run("timeline", "no-such-job")
    assert result.stdout == ""
    one_sentence(result, Exit.TROUBLE)


def test_of_a_damaged_journal_what_comes_before_the_damage_is_told(
    run: Run, job: str, shop_folder: Path
) -> None:
    path = shop_folder / "jobs" / job / "journal.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    lines[-2] = lines[-2].replace(b'"by":"', b'"by":"X')
    path.write_bytes(b"".join(lines))
    result = run("timeline", job)
    assert result.exit_code == Exit.TROUBLE
    assert f"journal.jsonl:{len(lines) - 1}: " in result.stderr
    assert "Told is what comes before that line." in result.stderr
    assert "Fit the lamp: " in result.stdout
    assert "Keys back" not in result.stdout


def test_a_journal_damaged_in_its_first_line_says_so_and_tells_nothing(
    run: Run, job: str, shop_folder: Path
) -> None:
    path = shop_folder / "jobs" / job / "journal.jsonl"
    path.write_bytes(b"x" + path.read_bytes())
    result = run("timeline", job)
    assert (result.exit_code, result.stdout) == (Exit.TROUBLE, "")
    assert "journal.jsonl:1: " in result.stderr


def test_a_torn_last_line_is_told(run: Run, job: str, shop_folder: Path) -> None:
    path = shop_folder / "jobs" / job / "journal.jsonl"
    path.write_bytes(path.read_bytes() + b'{"seq":99')
    result = run("timeline", job)
    assert result.exit_code == Exit.DONE
    assert "The last line of its journal is torn" in result.stderr
    assert path.read_bytes().endswith(b'{"seq":99'), "reading sets nothing aside"


def test_a_job_half_way_has_no_keys_back(run: Run, shop_folder: Path, tmp_path: Path) -> None:
    shop = open_shop(shop_folder)
    script = lamp_script("WO 900", START, (10, 25, 12), "volts")
    played = play_text(script, tmp_path / "script", shop, START)
    told = run("timeline", played.state.opened.job).stdout
    assert "Keys in: WO 900" in told
    assert "Keys back" not in told
