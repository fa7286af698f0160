"""The command as it is typed: where the page goes, what is told, and the exit code."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from freezegun import freeze_time
from lamp import PROCEDURE, make_shop
from paper import Node, read, step

from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.store.shelf import read_procedure, shipped
from baycompanion.store.shop_place import VARIABLE


@pytest.fixture(autouse=True)
def shop_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make a shop with the lamp procedure, and let it be the one that counts."""
    folder = tmp_path / "shop"
    make_shop(folder)
    monkeypatch.setenv(VARIABLE, str(folder))
    monkeypatch.chdir(tmp_path)
    return folder


@pytest.fixture
def in_terminal(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let the command believe that a person sits before it."""
    monkeypatch.setattr("baycompanion.commands.sheet.in_terminal", lambda: True)
    yield


def run(*words: str) -> Result:
    """Type a command line."""
    return CliRunner().invoke(cli, list(words))


def begin(work_order: str = "WO 1042") -> str:
    """Start a job with the lamp and return its name."""
    result = run(
        "start", "lamp", "--work-order", work_order, "--vehicle", "grey estate", "--by", "T1"
    )
    assert result.exit_code == Exit.DONE, result.stderr
    return result.stdout.strip()


def printed(*words: str) -> Node:
    """Return the page that a command line prints."""
    result = run("sheet", *words)
    assert result.exit_code == Exit.DONE, result.stderr
    return read(result.stdout)


def refused(code: Exit, *words: str) -> str:
    """Return the one line that a command line is refused with."""
    result = run("sheet", *words)
    assert result.exit_code == code, (result.exit_code, result.stderr)
    assert result.stdout == ""
    assert result.stderr.count("\n") == 1
    return result.stderr


def test_a_procedure_is_printed_where_no_terminal_is() -> None:
    page = printed("lamp")
    assert page.one("h1").text == "Fit a reading lamp paper form"
    assert "Read the voltage at the lead." in step(page, 2).text


def test_a_procedure_can_be_named_by_its_file(tmp_path: Path) -> None:
    own = tmp_path / "lamp.yaml"
    own.write_text(PROCEDURE.replace("Fit a reading lamp", "Fit another lamp"), encoding="utf-8")
    assert printed(str(own)).one("h1").text == "Fit another lamp paper form"


@freeze_time("2026-03-02T08:30:00Z")
def test_a_job_is_found_as_record_finds_it() -> None:
    job = begin()
    for name in (job, job[:8], "wo 1042"):
        head = printed(name).one("header").text
        assert f"Job {job} Work order WO 1042 Vehicle grey estate" in head


@freeze_time("2026-03-02T08:30:00Z")
def test_nothing_is_written_into_the_job(shop_folder: Path) -> None:
    folder = shop_folder / "jobs" / begin()
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    printed(folder.name)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_to_writes_the_page_and_says_where(tmp_path: Path) -> None:
    result = run("sheet", "lamp", "--to", "form.html")
    assert result.exit_code == Exit.DONE
    assert result.stdout == "form.html\n"
    assert "Open it in a browser" in result.stderr
    page = read((tmp_path / "form.html").read_text(encoding="utf-8"))
    assert page.all("article", "step")
    assert [path.name for path in tmp_path.glob(".*.part")] == []


@pytest.mark.usefixtures("in_terminal")
@freeze_time("2026-03-02T08:30:00Z")
def test_in_a_terminal_the_page_goes_to_a_file_of_its_name(tmp_path: Path) -> None:
    assert run("sheet", "lamp").stdout == "lamp-sheet.html\n"
    assert (tmp_path / "lamp-sheet.html").is_file()


def test_a_torn_journal_is_told_and_the_page_printed_all_the_same(shop_folder: Path) -> None:
    job = begin()
    with (shop_folder / "jobs" / job / "journal.jsonl").open("ab") as file:
        file.write(b'{"seq": 2, "a')
    result = run("sheet", job)
    assert result.exit_code == Exit.DONE
    assert "The last line of its journal is torn" in result.stderr
    assert read(result.stdout).one("h1")


def test_a_name_of_nothing_is_told_in_one_line_with_what_there_is() -> None:
    told = refused(Exit.TROUBLE, "lanp")
    assert "There is no job “lanp”." in told
    assert "There is no procedure “lanp”. Did you mean lamp?" in told


@freeze_time("2026-03-02T08:30:00Z")
def test_a_name_that_fits_two_jobs_is_told() -> None:
    first, second = begin("WO 1"), begin("WO 2")
    told = refused(Exit.TROUBLE, "20260302")
    assert "“20260302” fits more than one job." in told
    assert first in told
    assert second in told


def test_a_file_that_is_not_there_is_told() -> None:
    assert "There is no file gone.yaml." in refused(Exit.TROUBLE, "gone.yaml")


def test_a_procedure_with_errors_is_told_with_its_line(tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text(PROCEDURE.replace("of: [lights]", "of: [light]"), encoding="utf-8")
    told = refused(Exit.UNUSABLE, "bad.yaml")
    assert told.startswith("bad.yaml:")
    assert "light" in told


@pytest.mark.parametrize("to", ["", ".", "/"])
def test_a_target_that_is_no_file_is_told(to: str) -> None:
    told = refused(Exit.UNUSABLE, "lamp", "--to", to)
    assert told.startswith("--to names no file.")


def test_a_target_in_no_folder_is_told(tmp_path: Path) -> None:
    target = tmp_path / "gone" / "form.html"
    told = refused(Exit.TROUBLE, "lamp", "--to", str(target))
    assert told.startswith(f"{target} cannot be written: ")


def test_a_folder_as_target_is_told_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    assert "folder cannot be written" in refused(Exit.TROUBLE, "lamp", "--to", "folder")
    assert (tmp_path / "folder").is_dir()
    assert not list(tmp_path.glob(".*.part"))


def test_help_says_where_the_page_goes() -> None:
    told = " ".join(run("sheet", "--help").stdout.split())
    assert "NAME-sheet.html in the folder you are in" in told
    assert "an older page there is replaced" in told
    assert isinstance(cli.commands["sheet"], click.Command)


def process(*words: str) -> "subprocess.CompletedProcess[bytes]":
    """Run the program as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "baycompanion", *words],
        capture_output=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )


def test_as_a_process_it_prints_utf8_whatever_the_terminal_speaks() -> None:
    done = process("sheet", "receiver-swap")
    assert (done.returncode, done.stderr) == (Exit.DONE, b"")
    page = read(done.stdout.decode("utf-8"))
    steps = read_procedure(shipped("procedures") / "receiver-swap.yaml").procedure.steps
    assert len(page.all("article", "step")) == len(steps)


def test_as_a_process_it_is_refused_in_one_line() -> None:
    done = process("sheet", "nothing-of-this-name")
    assert (done.returncode, done.stdout) == (Exit.TROUBLE, b"")
    assert done.stderr.count(b"\n") == 1
    assert b"Traceback" not in done.stderr


def test_it_loads_no_screen_and_the_command_line_alone_loads_no_templates() -> None:
    which = "import sys; print(sorted({name.split('.')[0] for name in sys.modules}))"
    for code, absent in (
        ("import baycompanion.commands.sheet", {"textual", "rich"}),
        ("import baycompanion.sheets.page", {"textual", "rich", "click", "filelock"}),
        ("import baycompanion.cli", {"jinja2", "markupsafe", "pydantic"}),
    ):
        done = subprocess.run(
            [sys.executable, "-c", f"{code}\n{which}"],
            capture_output=True,
            text=True,
            timeout=60,
            check=True,
        )
        assert not {f"'{name}'" for name in absent} & set(done.stdout.strip("[]\n").split(", "))
