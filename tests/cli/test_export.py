"""`export` and `audit --engine`: what is written, what is answered, and what is refused."""

import json
import statistics
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result
from lamp import make_shop
from past_shop import play_past
from test_commands import one_sentence

from baycompanion.exits import Exit
from baycompanion.store.shop import open_shop

Run = Callable[..., Result]


@pytest.fixture(scope="session")
def played(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a shop with three closed jobs; nobody writes in it."""
    folder = tmp_path_factory.mktemp("played") / "north"
    play_past(folder, make_shop(folder), [(10, 20, 12), (9, 30, 8), (11, 26, 10)])
    return folder


def rows(folder: Path, table: str) -> list[dict[str, object]]:
    text = (folder / f"{table}.ndjson").read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]


def test_the_tables_are_written_and_where_they_lie_is_printed(run: Run, played: Path) -> None:
    result = run("export", str(played), "--ndjson", "tables")
    assert (result.exit_code, result.stdout) == (Exit.DONE, "tables\n")
    assert result.stderr == (
        "Rows: 3 jobs, 9 phases, 6 gates, 0 overrides, 6 hands, 0 findings. "
        "Looked at: 3 jobs in 1 shop.\n"
    )
    [gate] = [row for row in rows(Path("tables"), "gates")[:2] if row["gate"] == "lamp-proved"]
    assert (gate["shop"], gate["procedure"], gate["revision"]) == (str(played), "lamp", 2)
    assert (gate["reached"], gate["passed"], gate["overridden"]) == (True, True, False)


def test_a_shop_and_its_exported_tables_are_answered_alike(run: Run, played: Path) -> None:
    assert run("export", str(played), "--ndjson", "n").exit_code == Exit.DONE
    assert run("export", str(played), "--parquet", "p").exit_code == Exit.DONE
    results = [run("audit", "--engine", "duckdb", folder) for folder in (str(played), "n", "p")]
    for result in results:
        assert (result.exit_code, result.stderr) == (Exit.DONE, "")
        assert result.stdout == results[0].stdout
    lines = results[0].stdout.splitlines()
    headings = [line for line in lines if line and line == line.upper()]
    assert headings[0] == "GATES, IN JOBS OF ALL SHOPS"
    assert headings[-1] == "OVERRIDES, BY WHOEVER GAVE THEM"
    assert max(map(len, lines)) <= 80
    [row] = [line for line in lines if line.startswith("    fit ")]
    assert row.split("  ")[-1].strip() == "3"  # all three took longer than their 10 min


def test_answers_are_there_for_programs_with_seconds_as_numbers(run: Run, played: Path) -> None:
    result = run("audit", "--engine", "duckdb", "--json", str(played))
    assert result.exit_code == Exit.DONE
    told = json.loads(result.stdout)
    assert (told["engine"], told["unread"]) == ("duckdb", [])
    assert next(iter(told["answers"])) == "overrides_by_gate"
    assert list(told["answers"])[-1] == "overrides_by_person"
    [fit] = [row for row in told["answers"]["phase_times"]["rows"] if row["phase"] == "fit"]
    assert (fit["procedure"], fit["revision"], fit["jobs"]) == ("lamp", 2, 3)
    records = [json.loads(path.read_text("utf-8")) for path in played.glob("jobs/*/record.json")]
    worked = [each["worked_seconds"] for one in records for each in one["phases"][1:2]]
    assert fit["half_seconds"] == statistics.median(worked)


def test_a_job_with_a_broken_chain_has_findings_and_no_rows(
    run: Run, shop_folder: Path, tmp_path: Path
) -> None:
    play_past(shop_folder, open_shop(shop_folder), [(10, 20, 12), (9, 30, 8)])
    job, *_ = sorted((shop_folder / "jobs").iterdir())
    content = (job / "journal.jsonl").read_bytes()
    (job / "journal.jsonl").write_bytes(content.replace(b'"T1"', b'"T2"', 1))
    assert run("export", "--ndjson", "tables").exit_code == Exit.DONE
    for table in ("jobs", "phases", "gates", "hands"):
        assert rows(Path("tables"), table)
        assert job.name not in {row["job"] for row in rows(Path("tables"), table)}
    assert "event-changed" in {
        row["rule"] for row in rows(Path("tables"), "findings") if row["job"] == job.name
    }


def test_what_cannot_be_read_is_named_and_the_rest_is_exported(run: Run, shop_folder: Path) -> None:
    play_past(shop_folder, open_shop(shop_folder), [(10, 20, 12)])
    (shop_folder / "staff.yaml").write_text("staff: 3\n", encoding="utf-8")
    result = run("export", "--ndjson", "tables")
    assert (result.exit_code, result.stdout) == (Exit.UNUSABLE, "tables\n")
    assert "staff.yaml" in result.stderr
    assert result.stderr.endswith("Looked at: 1 job in 1 shop. Not read: 1.\n")
    assert len(rows(Path("tables"), "jobs")) == 1
    asked = run("audit", "--engine", "duckdb")
    assert asked.exit_code == Exit.UNUSABLE
    assert "staff.yaml" in asked.stderr
    assert asked.stdout.startswith("GATES, ")


def test_an_export_can_be_narrowed_as_an_audit_can(run: Run, played: Path) -> None:
    result = run("export", str(played), "--ndjson", "tables", "--since", "2026-03-04")
    assert result.exit_code == Exit.DONE
    assert [row["job"] for row in rows(Path("tables"), "jobs")] == ["20260304-wo-102"]
    assert "fits" not in result.stderr
    nobody = run("export", str(played), "--ndjson", "tables", "--by", "T9")
    assert nobody.stderr.endswith(
        "Looked at: 0 jobs in 1 shop. No job fits what the audit was narrowed to: by T9.\n"
    )


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "Give one of --ndjson FOLDER and --parquet FOLDER. See baycompanion export"),
        (("--ndjson", "a", "--parquet", "b"), "Give one of --ndjson FOLDER"),
        (("none", "--ndjson", "a"), "none is no shop folder: it has no jobs. See"),
        (("--ndjson", "a", "--since", "then"), "“then” is no date."),
    ],
)
def test_an_export_that_cannot_be_is_refused_and_writes_nothing(
    run: Run, tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    assert one_sentence(run("export", *words), Exit.UNUSABLE).startswith(told)
    assert [path.name for path in tmp_path.iterdir()] == ["shop"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("none",), "none is neither a shop folder, with jobs, nor one of tables that export"),
        (("tables", "--by", "T1"), "tables holds tables that are exported already: --since, --by"),
        (("tables", "shop"), "The shop shop is in tables and in shop, and would count twice."),
        (("tables", "again"), "The shop shop is in again and in tables, and would count twice."),
        (("shop", "--phases"), "--engine prints its answers. Leave the other ways"),
        (("shop", "--html", "a.html"), "--engine prints its answers."),
    ],
)
def test_a_question_that_cannot_be_answered_is_refused_in_one_sentence(
    run: Run, words: tuple[str, ...], told: str
) -> None:
    Path("shop/jobs").mkdir(exist_ok=True)
    for name in ("tables", "again"):
        assert run("export", "shop", "--ndjson", name).exit_code == Exit.DONE
    result = run("audit", "--engine", "duckdb", *words)
    assert one_sentence(result, Exit.UNUSABLE).startswith(told)


@pytest.mark.parametrize(
    ("words", "library"),
    [
        (("export", "--parquet", "tables"), "duckdb"),
        (("audit", "--engine", "duckdb"), "duckdb"),
        (("audit", "--engine", "spark"), "spark"),
    ],
)
def test_a_library_that_is_missing_is_told_with_what_to_install(
    run: Run, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], library: str
) -> None:
    Path("shop/jobs").mkdir(exist_ok=True)
    monkeypatch.setitem(sys.modules, "duckdb", None)
    monkeypatch.setitem(sys.modules, "pyspark", None)
    result = run(*words)
    assert (result.exit_code, result.stdout) == (Exit.TROUBLE, "")
    assert result.stderr.endswith(f"python -m pip install 'baycompanion[{library}]'\n")
    assert result.stderr.count("\n") == 1
    assert not Path("tables").exists()


def test_the_shop_alone_needs_no_engine(
    run: Run, played: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "duckdb", None)
    assert run("export", str(played), "--ndjson", "tables").exit_code == Exit.DONE
    assert run("audit", str(played)).exit_code == Exit.DONE
