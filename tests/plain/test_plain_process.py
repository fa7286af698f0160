"""The line-by-line mode as a process of its own, fed through a pipe."""

import contextlib
import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from lamp import PICTURE, SCRIPT, make_shop, play_text

from baycompanion.exits import Exit
from baycompanion.job.record.whole import JobRecord
from baycompanion.store.shop_place import VARIABLE

posix = pytest.mark.skipif(os.name == "nt", reason="pipes and signals of POSIX")

START = ("start", "lamp", "--work-order", "WO 7/b", "--vehicle", "yellow test van", "--by", "T1")
TO_THE_LAMP = ("1", "1", "M-3", "2099-06-30", "", "12.60")
FROM_THE_LAMP = ("", "photo", "lamp.png", "", "1", "1", "S1", "", "", "1", "2", "quit")


@pytest.fixture(autouse=True)
def shop_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make a shop with the lamp procedure, and let it be the one that counts."""
    make_shop(tmp_path / "lamp-shop")
    monkeypatch.setenv(VARIABLE, str(tmp_path / "lamp-shop"))
    monkeypatch.setenv("PYTHONIOENCODING", "utf-8")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lamp.png").write_bytes(PICTURE)
    return tmp_path / "lamp-shop"


def command(*words: str) -> list[str]:
    return [sys.executable, "-m", "baycompanion", *words]


def fed(words: tuple[str, ...], *lines: str) -> subprocess.CompletedProcess[str]:
    """Run a command line with these lines on its stdin."""
    return subprocess.run(
        command(*words),
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )


def the_record(shop_folder: Path) -> dict[str, Any]:
    [path] = (shop_folder / "jobs").glob("*/record.json")
    record: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return record


def outcomes(record: dict[str, Any]) -> dict[str, Any]:
    """Return what a job came to, without when, and without what hangs on when."""
    return {
        "ended": (record["status"], record["clean"]),
        "steps": [
            (step["id"], step["state"], each["by"], each["outcome"], each["words"])
            for step in record["steps"]
            for each in step["attempts"]
        ],
        "gates": [(gate["id"], gate["came_to"]) for gate in record["gates"]],
        "photos": [photo["sha256"] for photo in record["photos"]],
        "kinds": [event["kind"] for event in record["events"]],
        "people": sorted(record["people"]),
    }


def test_a_whole_job_goes_through_a_pipe_to_the_record_it_has_anywhere(
    shop_folder: Path, tmp_path: Path
) -> None:
    done = fed((*START, "--plain"), *TO_THE_LAMP, *FROM_THE_LAMP)
    assert (done.returncode, done.stderr) == (Exit.DONE, "")
    assert "Closed clean." in done.stdout.splitlines()
    record = the_record(shop_folder)
    Draft202012Validator(JobRecord.model_json_schema()).validate(record)
    played = play_text(SCRIPT, tmp_path / "script", make_shop(tmp_path / "other"))
    elsewhere = json.loads((played.folder / "record.json").read_text(encoding="utf-8"))
    assert outcomes(record) == outcomes(elsewhere)


def test_a_job_left_at_the_end_of_input_is_taken_up_again(shop_folder: Path) -> None:
    first = fed((*START, "--plain"), *TO_THE_LAMP)
    assert first.returncode == Exit.DONE
    left = first.stdout.splitlines()[-1]
    assert left.startswith("Left: job ")
    assert left.endswith("now: Clip the lamp in. Everything saved is on the disk.")
    second = fed(("resume", "WO 7/b", "--plain"), *FROM_THE_LAMP)
    assert (second.returncode, second.stderr) == (Exit.DONE, "")
    assert second.stdout.splitlines()[1].startswith("Last entry ")
    assert the_record(shop_folder)["clean"] is True


def test_half_a_form_at_the_end_of_input_does_nothing(shop_folder: Path) -> None:
    done = fed((*START, "--plain"), "1", "1", "M-3")
    assert done.returncode == Exit.DONE
    assert "Left: job " in done.stdout.splitlines()[-1]
    again = fed(("resume", "WO 7/b", "--plain"))
    assert "0 of 1 answered" in again.stdout.splitlines()


def test_the_board_is_read_from_a_pipe(shop_folder: Path) -> None:
    done = fed(("--plain",), "new", "lamp", "WO 8", "red car", "", "", "", "T2", "board", "quit")
    assert (done.returncode, done.stderr) == (Exit.DONE, "")
    assert "1. WO 8 · red car · Fit a reading lamp · T2. " in done.stdout


def test_the_demo_is_walked_from_a_pipe(tmp_path: Path) -> None:
    done = fed(("demo", "--plain", "--folder", str(tmp_path / "demo")), "1", "where", "quit")
    assert done.returncode == Exit.DONE
    assert "Next gate: " in done.stdout
    assert done.stdout.splitlines()[-1] == f"baycompanion --shop {tmp_path / 'demo'} --plain"


@pytest.mark.parametrize("words", [(*START, "--json"), ("demo", "--json"), ("demo", "--headless")])
def test_lines_and_something_else_do_not_go_together(words: tuple[str, ...]) -> None:
    done = fed((*words, "--plain"))
    assert done.returncode == Exit.UNUSABLE
    [line] = done.stderr.splitlines()
    assert "do not go together. Leave one out." in line


def test_no_screen_is_loaded_and_nothing_moves_the_cursor(tmp_path: Path) -> None:
    code = (
        "import sys\n"
        "from baycompanion.cli import cli\n"
        "try:\n"
        "    cli.main(sys.argv[1:])\n"
        "except SystemExit:\n"
        "    pass\n"
        "names = {name.split('.')[0] for name in sys.modules}\n"
        "print(sorted(names & {'textual', 'rich', 'curses', 'readline'}))\n"
    )
    for words, lines in (
        ((*START, "--plain"), (*TO_THE_LAMP, *FROM_THE_LAMP)),
        (("--plain",), ("1", "board", "quit")),
        (("demo", "--plain", "--folder", str(tmp_path / "demo")), ("1", "steps", "quit")),
    ):
        done = subprocess.run(
            [sys.executable, "-c", code, *words],
            input="\n".join((*lines, "")).encode(),
            capture_output=True,
            timeout=120,
            check=False,
        )
        shown = done.stdout.decode("utf-8")
        assert shown.splitlines()[-1] == "[]", done.stderr
        assert not [sign for sign in shown if sign != "\n" and ord(sign) < 32]


@posix
def test_a_reader_who_goes_away_gets_no_traceback_and_the_job_is_free(shop_folder: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "wb") as closed:
        done = subprocess.run(
            command(*START, "--plain"),
            input=b"1\n",
            stdout=closed,
            stderr=subprocess.PIPE,
            timeout=60,
            check=False,
        )
    assert (done.returncode, done.stderr) == (Exit.CUT_OFF, b"")
    assert fed(("resume", "WO 7/b", "--plain"), "quit").returncode == Exit.DONE


@posix
def test_ctrl_c_leaves_the_job_where_it_is(shop_folder: Path) -> None:
    process = subprocess.Popen(
        command(*START, "--plain"),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write("1\n")
    process.stdin.flush()
    while not process.stdout.readline().startswith("Put the tools"):
        assert process.poll() is None
    out = err = ""
    for _ in range(5):
        process.send_signal(signal.SIGINT)
        with contextlib.suppress(subprocess.TimeoutExpired):
            out, err = process.communicate(timeout=5)
            break
    assert process.returncode == Exit.STOPPED
    assert out.splitlines()[-1].startswith("Left: job ")
    assert err.strip() == "Stopped. Everything that was told as done is on the disk."


@posix
@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_terminal_of_few_signs_is_talked_to_plainly(
    shop_folder: Path, monkeypatch: pytest.MonkeyPatch, encoding: str
) -> None:
    monkeypatch.setenv("PYTHONIOENCODING", encoding)
    monkeypatch.setenv("PYTHONUTF8", "0")
    done = subprocess.run(
        command("start", "lamp", "--work-order", "7", "--vehicle", "van", "--by", "T1", "--plain"),
        input=b"1\n?\nnote\n\xff\xfe\x80 \xc3\nquit\n",
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stderr) == (Exit.DONE, b"")
    assert "Saved." in done.stdout.decode(encoding)
