"""`audit`: what is printed, for whom, and the exit code."""

import json
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from bay import LISTS, T1
from click.testing import Result
from lamp import write_script
from reviewed_shop import make_reviewed_shop
from test_commands import begin, one_sentence

from baycompanion.commands import audit as audit_command
from baycompanion.exits import Exit
from baycompanion.job.actions import Abandon
from baycompanion.job.deciding.draft import Person
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.review import LookedAt, look_at

Run = Callable[..., Result]


@pytest.fixture
def job(run: Run, shop_folder: Path) -> Path:
    """Return the folder of a job that was given up."""
    folder = shop_folder / "jobs" / begin(run)
    opened = OpenJob(folder, LISTS, T1, datetime.now(UTC))
    opened.act(Abandon(abandon="the owner took the van"), T1, datetime.now(UTC))
    opened.leave()
    return folder


def test_nothing_found_is_said_and_no_more(run: Run, job: Path) -> None:
    result = run("audit")
    assert (result.exit_code, result.stdout) == (Exit.DONE, "")
    assert result.stderr == "No findings. Looked at: 1 job in 1 shop.\n"


def test_what_held_a_gate_is_counted_where_not_all_of_it_is_printed(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three causes stood there as if there were no more."""
    shop = str(make_reviewed_shop(tmp_path / "reviewed").folder)
    all_of_it = run("audit", shop).stdout
    causes = [line for line in all_of_it.splitlines() if line.strip().startswith("held by: ")]
    assert causes and "more; baycompanion review" not in all_of_it
    monkeypatch.setattr(audit_command, "MOST_CAUSES", 0)
    assert (
        f"held by {len(causes)} more; baycompanion review lists them" in run("audit", shop).stdout
    )


def test_findings_stand_by_weight_with_rule_evidence_and_sentence(
    run: Run, job: Path, shop_folder: Path
) -> None:
    (job / "record.json").unlink()
    lines = (job / "journal.jsonl").read_bytes().splitlines(keepends=True)
    (job / "journal.jsonl").write_bytes(lines[0].replace(b"T1", b"T2", 1) + lines[1])
    with (shop_folder / "ledger.jsonl").open("ab") as ledger:
        ledger.write(b"torn")
    result = run("audit", str(shop_folder))
    assert result.exit_code == Exit.REFUSED
    assert [line for line in result.stdout.splitlines() if not line.startswith("    ")] == [
        "GRAVE",
        f"  event-changed: {job.name} · event 1",
        "SERIOUS",
        f"  record-gone: {job.name} · ledger entry 2",
        "MINOR",
        "  ledger-torn: the whole shop",
    ]
    sentences = [line for line in result.stdout.splitlines() if line.startswith("    ")]
    assert sentences[0].startswith("    Event 1 was changed (journal.jsonl, line 1): its hash")
    told = "3 findings: 1 grave, 1 serious, 1 minor. Looked at: 1 job in 1 shop.\n"
    assert result.stderr == told


def test_what_cannot_be_read_is_named_and_the_rest_is_audited(
    run: Run, job: Path, shop_folder: Path, tmp_path: Path
) -> None:
    (job / "record.json").unlink()
    result = run("audit", str(tmp_path / "none"), str(shop_folder))
    assert result.exit_code == Exit.UNUSABLE
    assert result.stderr.startswith(f"{tmp_path / 'none'} is no shop folder: it has no jobs.\n")
    assert result.stderr.endswith("Looked at: 1 job in 2 shops. Not read: 1.\n")
    assert f"record-gone: {shop_folder} · {job.name}" in result.stdout
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize(
    "words", [("audit",), ("audit", "--phases"), ("export", "--ndjson", "tables")]
)
def test_of_a_folder_of_shops_it_is_told_what_to_name(
    run: Run, shop_folder: Path, tmp_path: Path, words: tuple[str, ...]
) -> None:
    """It said that the folder of a chain is no shop, and left its shops to be found."""
    (tmp_path / "chain").mkdir()
    first = shop_folder.rename(tmp_path / "chain" / "a")
    (tmp_path / "chain" / "notes").mkdir()
    told = f"{tmp_path / 'chain'} is no shop folder: it has no jobs."
    result = run(*words, str(tmp_path / "chain"))
    assert result.exit_code == Exit.UNUSABLE
    assert f"{told} One lies in it: name {first}." in result.stderr
    (tmp_path / "chain" / "b" / "jobs").mkdir(parents=True)
    both = run(*words, str(tmp_path / "chain")).stderr
    assert f"{told} 2 of them lie in it: name each, like {first}." in both


def test_a_shop_named_in_two_ways_counts_once(
    run: Run, job: Path, shop_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By its name and by its whole path, every job and finding was there twice."""
    monkeypatch.chdir(shop_folder.parent)
    once = run("audit", shop_folder.name)
    assert run("audit", shop_folder.name, str(shop_folder)).stderr == once.stderr


@pytest.mark.parametrize("more", [(), ("--phases",)])
def test_a_file_is_no_shop_folder(run: Run, job: Path, more: tuple[str, ...]) -> None:
    """It said that FILE/jobs is not a directory, which nobody had typed."""
    result = run("audit", *more, str(job / "record.json"))
    assert result.exit_code == Exit.UNUSABLE
    told = f"{job / 'record.json'} is no shop folder: it has no jobs.\n"
    assert result.stderr.startswith(told)


def test_where_not_all_was_read_it_is_not_said_that_nothing_was_found(
    run: Run, tmp_path: Path
) -> None:
    told = "No findings in what was read."
    result = run("audit", str(tmp_path))
    assert result.exit_code == Exit.UNUSABLE
    assert f"\n{told} Looked at: 0 jobs in 1 shop. Not read: 1.\n" in result.stderr
    page = tmp_path / "audit.html"
    run("audit", str(tmp_path), "--html", str(page))
    assert page.read_text("utf-8").count(told) == 2
    assert "No findings." not in page.read_text("utf-8")


def test_nothing_is_written_into_a_folder_that_is_no_shop(run: Run, tmp_path: Path) -> None:
    (pictures := tmp_path / "pictures").mkdir()
    assert run("audit", str(pictures)).exit_code == Exit.UNUSABLE
    assert list(pictures.iterdir()) == []


def test_json_holds_the_same_for_programs(run: Run, job: Path, shop_folder: Path) -> None:
    (job / "record.json").unlink()
    result = run("audit", "--json")
    assert result.exit_code == Exit.REFUSED
    told = json.loads(result.stdout)
    assert told["shops"] == [{"shop": str(shop_folder), "jobs": 1, "seal": None}]
    assert told["unread"] == []
    [finding] = told["findings"]
    assert finding.pop("sentence").startswith("The job has ended and there is no record.json.")
    assert len(finding.pop("key")) == 16
    assert finding == {
        "rule": "record-gone",
        "weight": "serious",
        "shop": str(shop_folder),
        "job": job.name,
        "about": None,
        "events": [],
        "ledger_entries": [2],
        "looked_at": None,
        "words": [],
    }


@pytest.mark.parametrize(
    "only", [("--by", "T9"), ("--procedure", "other"), ("--since", "2999-01-01")]
)
def test_an_audit_can_be_narrowed(run: Run, job: Path, only: tuple[str, str]) -> None:
    (job / "record.json").unlink()
    result = run("audit", *only)
    assert (result.exit_code, result.stdout) == (Exit.DONE, "")
    told = " ".join(only).removeprefix("--")
    assert result.stderr == (
        "No findings. Looked at: 0 jobs in 1 shop. "
        f"No job fits what the audit was narrowed to: {told}.\n"
    )


def test_that_no_job_fits_is_told_only_where_none_does(run: Run, job: Path) -> None:
    assert "fits" not in run("audit", "--by", "T1").stderr
    with (job.parents[1] / "ledger.jsonl").open("ab") as ledger:
        ledger.write(b"x\n")
    broken = run("audit", "--by", "T9")
    assert "1 finding" in broken.stderr, "of the shop, whoever is asked about"
    assert "No job fits what the audit was narrowed to: by T9.\n" in broken.stderr
    shutil.rmtree(job)
    gone = run("audit", "--by", "T1")
    assert "job-gone" in gone.stdout
    assert "Looked at: 0 jobs in 1 shop.\n" in gone.stderr


def test_a_day_that_is_none_is_told_in_one_line(run: Run) -> None:
    told = one_sentence(run("audit", "--since", "yesterday"), Exit.UNUSABLE)
    assert told.startswith("“yesterday” is no date. Write it like 2026-03-02.")


def test_a_job_that_was_played_is_entered_and_found_in_order(
    run: Run, shop_folder: Path, tmp_path: Path
) -> None:
    assert run("play", str(write_script(tmp_path / "script"))).exit_code == Exit.DONE
    ledger = (shop_folder / "ledger.jsonl").read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["kind"] for line in ledger] == ["begun", "ended"]
    result = run("audit")
    assert result.exit_code == Exit.DONE, result.stdout + result.stderr


def test_the_demo_shop_is_entered_and_found_in_order(run: Run, tmp_path: Path) -> None:
    assert run("demo", "--headless", "--folder", str(tmp_path / "demo")).exit_code == Exit.DONE
    result = run("audit", str(tmp_path / "demo"))
    assert result.exit_code == Exit.DONE, result.stdout + result.stderr
    assert result.stderr == "No findings. Looked at: 1 job in 1 shop.\n"


def test_gates_stand_first_with_their_counts_and_for_programs_too(run: Run, tmp_path: Path) -> None:
    folder = str(tmp_path / "demo")
    assert run("demo", "--headless", "--folder", folder).exit_code == Exit.DONE
    lines = run("audit", folder).stdout.splitlines()
    assert lines[0] == "GATES"
    assert lines[1].startswith("  receiver-swap, revision ")
    assert lines[2].split() == ["reached", "passed", "overridden", "held", "not", "applicable"]
    [row] = [line for line in lines if line.split()[0] == "tray-empty"]
    assert row.split()[1:] == ["1", "1", "0", "0", "0"]
    assert max(map(len, lines[:3])) <= 80
    told = json.loads(run("audit", folder, "--json").stdout)
    assert list(told) == ["shops", "gates", "findings", "drawn", "unread"]
    [gate] = [each for each in told["gates"] if each["gate"] == "tray-empty"]
    assert (gate["shop"], gate["procedure"], gate["reached"]) == (folder, "receiver-swap", 1)
    assert (gate["overridden"], gate["reasons"], gate["waited_for"]) == (0, {}, {})


def test_a_staff_file_that_cannot_be_read_is_named_and_the_jobs_are_audited(
    run: Run, job: Path, shop_folder: Path
) -> None:
    (shop_folder / "staff.yaml").write_text("staff: 3\n", encoding="utf-8")
    result = run("audit")
    assert result.exit_code == Exit.UNUSABLE
    assert "staff.yaml" in result.stderr
    assert result.stderr.endswith("Looked at: 1 job in 1 shop. Not read: 1.\n")


def test_a_sentence_fits_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    sentence = "The photo is not the picture that was copied into the job. " * 3
    assert audit_command._lines(sentence) == [sentence]
    monkeypatch.setattr(audit_command.sys.stdout, "isatty", lambda: True)
    monkeypatch.setenv("COLUMNS", "60")
    lines = audit_command._lines(sentence)
    assert max(map(len, lines)) <= 56
    assert " ".join(lines) == sentence.strip()


def test_a_page_is_written_where_it_is_asked_for_with_the_same_exit_code(
    run: Run, job: Path, tmp_path: Path
) -> None:
    (job / "record.json").unlink()
    page = tmp_path / "audit.html"
    result = run("audit", "--html", str(page))
    assert (result.exit_code, result.stdout) == (Exit.REFUSED, f"{page}\n")
    assert "record-gone" in page.read_text("utf-8")


def test_a_thorough_audit_says_how_much_it_hashed_and_what_had_changed_unseen(
    run: Run, job: Path
) -> None:
    files = [job / name for name in ("journal.jsonl", "record.json", "procedure.yaml")]
    size = sum(path.stat().st_size for path in files)
    result = run("audit", "--thorough")
    assert (result.exit_code, result.stdout) == (Exit.DONE, "")
    assert result.stderr == (
        f"{job.parents[1]}: every file of the jobs was read and hashed again, 3 files with "
        f"{size:,} bytes; 0 changed behind an unchanged size and time.\n"
        "No findings. Looked at: 1 job in 1 shop.\n"
    )


def test_an_index_is_kept_beside_the_jobs_unless_it_is_not_wanted(
    run: Run, job: Path, shop_folder: Path
) -> None:
    """It is no job and no stranger to anything else."""
    listed = run("jobs").output
    told = run("audit", "--no-index")
    assert not (shop_folder / "audit-index.sqlite").exists()
    for _ in range(2):
        again = run("audit")
        assert (again.exit_code, again.stdout, again.stderr) == (0, told.stdout, told.stderr)
    assert (shop_folder / "audit-index.sqlite").exists()
    assert run("jobs").output == listed


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--phases", "--thorough"], "--phases reads the heads of the records alone."),
        (["--phases", "--draw", "1"], "--phases reads the heads of the records alone."),
        (["--draw", "-1"], "0<=x<=1000"),
        (["--phases", "--open"], "--phases reads the heads of the records alone."),
        (["--phases", "--no-index"], "Leave the other ways of reading out."),
        (["--html", "/"], "/ is no file. Give --html the name of one."),
        (["--html", "a.html", "--json"], "--json prints, and --html writes a page."),
        (["--phases", "--html", "/"], "/ is no file. Give --html the name of one."),
        (["--phases", "--html", "a.html", "--json"], "--json prints, and --html writes a page."),
    ],
)
def test_a_page_that_cannot_be_is_refused_in_one_sentence(
    run: Run, job: Path, words: list[str], told: str
) -> None:
    result = run("audit", *words)
    assert result.exit_code == Exit.UNUSABLE
    assert told in result.stderr or told in result.output


def test_vehicles_to_look_at_are_drawn_where_they_are_asked_for(run: Run, tmp_path: Path) -> None:
    shop = tmp_path / "other"
    make_reviewed_shop(shop, "..x")
    assert "VEHICLE" not in run("audit", str(shop)).stdout
    result = run("audit", str(shop), "--draw", "1")
    head, *rows = result.stdout.splitlines()[-5:]
    assert head == "TO LOOK AT ON THE VEHICLE"
    assert rows[0].endswith(" · overridden: lamp-proved")
    assert rows[2].endswith(" · by lot")
    drawn = json.loads(run("audit", str(shop), "--draw", "1", "--json").stdout)["drawn"]
    assert [each["why"] for each in drawn] == ["overridden: lamp-proved", "by lot"]
    assert [each["asks"] for each in drawn] == [rows[1].strip(), rows[3].strip()]
    page = tmp_path / "page.html"
    run("audit", str(shop), "--draw", "1", "--html", str(page))
    text = page.read_text(encoding="utf-8")
    assert "<h2>To look at on the vehicle</h2>" in text
    assert text.count("Found by, when, and what it was:") == 2


def test_what_was_looked_at_is_marked_and_left_out_where_only_the_rest_is_asked_for(
    run: Run, job: Path, shop_folder: Path, tmp_path: Path
) -> None:
    (job / "record.json").unlink()
    [finding] = json.loads(run("audit", "--json").stdout)["findings"]
    words = LookedAt(finding=finding["key"], rule=finding["rule"], words="<b>a copy failed</b>")
    look_at(shop_folder, words, Person("S1", "supervisor"), datetime(2026, 3, 2, 9, tzinfo=UTC))
    result = run("audit")
    assert result.exit_code == Exit.REFUSED
    assert "    Looked at by S1 on 2026-03-02: “<b>a copy failed</b>”\n" in result.stdout
    assert "1 finding: 1 serious. Already looked at: 1. Looked at: 1 job" in result.stderr
    [again] = json.loads(run("audit", "--json").stdout)["findings"]
    assert again["looked_at"]["words"] == "<b>a copy failed</b>"
    page = tmp_path / "page.html"
    assert run("audit", "--html", str(page)).exit_code == Exit.REFUSED
    text = page.read_text(encoding="utf-8")
    assert "Looked at by S1 on 2026-03-02: “&lt;b&gt;a copy failed&lt;/b&gt;”" in text
    assert "Looked at by, when, and what it was" not in text
    (job / "handover.html").unlink(missing_ok=True)
    rest = run("audit", "--open")
    assert (rest.exit_code, rest.stdout.count("record-gone")) == (Exit.DONE, 0)
    assert "No findings. Left out as looked at: 1. Looked at: 1 job" in rest.stderr
    (shop_folder / "ledger.jsonl").unlink()
    assert run("audit", "--open").exit_code == Exit.REFUSED
