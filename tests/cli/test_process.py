"""The program as a process of its own: what it loads, and how it ends when things go wrong."""

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from lamp import HEAD, SCRIPT, write_script
from pydantic_core import SchemaSerializer

from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen, attend
from baycompanion.store.ledger.ledger import NAME as LEDGER
from baycompanion.store.turn import turn

WHICH = "import sys; print(sorted({name.split('.')[0] for name in sys.modules}))\n"


def python(*words: str, **more: object) -> subprocess.CompletedProcess[str]:
    """Run Python with these words, and return what came of it."""
    env = {**os.environ, "PYTHONIOENCODING": "utf-8", **more.pop("env", {})}  # type: ignore[dict-item]
    return subprocess.run(
        [sys.executable, *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        check=False,
        env=env,
        **more,  # type: ignore[arg-type]
    )


def loaded(code: str) -> set[str]:
    """Return the packages that are loaded after `code` has run in a new process."""
    done = python("-c", f"{code}\n{WHICH}")
    assert done.returncode == 0, done.stderr
    return set(eval(done.stdout.splitlines()[-1]))


def loaded_by(codes: Mapping[str, str], never: set[str]) -> dict[str, set[str]]:
    """Return which packages of `never` are loaded once each code has run, by its name.

    All run in one new process, one after the other. What one has loaded stays for the next, so that
    the first to be named is the culprit.
    """
    done = python("-c", "".join(f"{code}\n{WHICH}" for code in codes.values()))
    assert done.returncode == 0, done.stderr
    told = [set(eval(line)) & never for line in done.stdout.splitlines() if line.startswith("['")]
    return {name: names for name, names in zip(codes, told, strict=True) if names}


def typed(*words: str) -> str:
    """Return code that types a command line and swallows its output and its end."""
    return (
        "import contextlib, io\n"
        "from baycompanion.cli import cli\n"
        "out = io.TextIOWrapper(io.BytesIO())\n"
        "with contextlib.redirect_stdout(out), contextlib.suppress(SystemExit):\n"
        f"    cli.main({list(words)!r})\n"
    )


SCREENS = {"textual", "rich"}
MODELS = {"pydantic", "yaml", "filelock", "platformdirs"}


def every_module_of(package: str) -> str:
    """Return code that loads all of a package."""
    return (
        f"import baycompanion.{package}, pkgutil, importlib\n"
        f"path, name = baycompanion.{package}.__path__, 'baycompanion.{package}.'\n"
        "for each in pkgutil.walk_packages(path, name):\n"
        "    importlib.import_module(each.name)"
    )


def test_the_core_loads_no_screen_and_no_command_line() -> None:
    core = ("text", "trade", "procedure", "job", "views", "sheets")
    codes = {package: every_module_of(package) for package in core}
    assert loaded_by(codes, SCREENS | {"click", "filelock", "platformdirs"}) == {}


def test_the_floors_below_the_screens_load_none() -> None:
    codes = {
        package: every_module_of(package) for package in ("store", "audit", "play", "commands")
    }
    assert loaded_by(codes, SCREENS) == {}


def test_what_loads_too_much_is_named() -> None:
    codes = {"clean": "import json", "culprit": "import yaml", "after it": "import json"}
    assert list(loaded_by(codes, MODELS)) == ["culprit", "after it"]


def test_the_command_line_by_itself_loads_no_models() -> None:
    assert not loaded("import baycompanion.cli, baycompanion.__main__") & (SCREENS | MODELS)


TYPED_ASIDE = [
    *(["--help"], ["--version"], ["start", "--help"], ["demo", "--help"], ["strat"]),
    *(["jobs", "-x"], ["staff"], ["staff", "--help"], ["staff", "add", "--help"]),
    *(["preview", "--help"], ["map", "--help"], ["new"], ["changes", "lamp"]),
]
"""Calls for help, and typing errors."""


def test_help_and_typing_errors_load_no_models() -> None:
    codes = {" ".join(words): typed(*words) for words in TYPED_ASIDE}
    assert loaded_by(codes, SCREENS | MODELS) == {}


def test_no_command_without_a_screen_loads_the_screens(tmp_path: Path) -> None:
    script = write_script(tmp_path / "s")
    commands = (
        ["check", "receiver-swap", "lamp"],
        ["schema", "record"],
        ["jobs"],
        ["play", str(script)],
        ["record", "WO 7/b"],
        ["audit"],
        ["start", "lamp", "--work-order", "1", "--vehicle", "van", "--by", "T1"],
        ["resume", "WO 7/b"],
        ["demo", "--headless", "--folder", str(tmp_path / "demo")],
        ["changes", "lamp", "lamp"],
        ["map", "lamp", "--html", str(tmp_path / "map.html")],
        ["new", "other"],
        ["preview", "lamp"],
        ["preview", "lamp", "--plain"],
        [],
    )
    assert loaded_by({" ".join(words): typed(*words) for words in commands}, SCREENS) == {}


def test_only_a_change_of_the_staff_loads_what_keeps_the_remarks_of_its_file() -> None:
    for words in (["jobs"], ["start", "lamp", "--work-order", "1", "--vehicle", "v", "--by", "T1"]):
        assert "ruamel" not in loaded(typed(*words)), words
    assert "ruamel" in loaded(typed("staff", "add", "S9", "--role", "supervisor"))


def test_only_a_map_that_is_a_page_loads_what_fills_pages(tmp_path: Path) -> None:
    assert "jinja2" not in loaded(typed("map", "lamp"))
    assert "jinja2" in loaded(typed("map", "lamp", "--svg", str(tmp_path / "map.svg")))


def test_the_package_runs_as_a_module() -> None:
    done = python("-m", "baycompanion", "--version")
    assert (done.returncode, done.stdout) == (0, "baycompanion, version 0.1.0\n")


def test_the_exit_code_reaches_the_caller(tmp_path: Path) -> None:
    bad = write_script(tmp_path / "s", SCRIPT.replace("value: 12.60", "value: 1.0"))
    assert python("-m", "baycompanion", "play", str(bad)).returncode == Exit.REFUSED
    assert python("-m", "baycompanion", "play", "gone").returncode == Exit.UNUSABLE
    assert python("-m", "baycompanion", "record", "gone").returncode == Exit.TROUBLE


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252"])
def test_a_terminal_of_few_signs_is_talked_to_plainly(encoding: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "baycompanion", "record", "Ω gone"],
        capture_output=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"},
    )
    assert done.returncode == Exit.TROUBLE
    told = done.stderr.decode(encoding)
    assert told.splitlines() == [
        'There is no job "ohm gone".' if encoding != "cp1252" else "There is no job “ohm gone”."
    ]


def test_json_is_utf8_whatever_the_terminal_speaks(shop_folder: Path) -> None:
    words = ["start", "lamp", "--work-order", "Ä 7", "--vehicle", "Wagen in Grün", "--by", "T1"]
    assert python("-m", "baycompanion", *words).returncode == 0
    done = subprocess.run(
        [sys.executable, "-m", "baycompanion", "jobs", "--json"],
        capture_output=True,
        timeout=60,
        check=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert json.loads(done.stdout.decode("utf-8"))[0]["vehicle"]["description"] == "Wagen in Grün"


posix = pytest.mark.skipif(os.name == "nt", reason="pipes and signals of POSIX")


@posix
@pytest.mark.parametrize(
    "words", [["schema", "procedure"], ["--help"], ["check", "lamp", "--json"]]
)
def test_a_reader_who_goes_away_gets_no_traceback(words: list[str]) -> None:
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "wb") as closed:
        done = subprocess.run(
            [sys.executable, "-m", "baycompanion", *words],
            stdout=closed,
            stderr=subprocess.PIPE,
            timeout=60,
            check=False,
        )
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr
    assert done.returncode == Exit.CUT_OFF


def _wait_for_end(jobs: Path, process: "subprocess.Popen[str]") -> None:
    """Wait until the job that is played has its end in the journal."""
    while process.poll() is None:
        if any(b'"abandoned"' in path.read_bytes() for path in jobs.glob("*/journal.jsonl")):
            return
        time.sleep(0.01)
    raise AssertionError(process.communicate())


def _interrupt(process: "subprocess.Popen[str]") -> tuple[str, str]:
    """Press Ctrl-C; once more where Python had it between opening and reading, and missed it."""
    for _ in range(5):
        process.send_signal(signal.SIGINT)
        with contextlib.suppress(subprocess.TimeoutExpired):
            return process.communicate(timeout=5)
    raise AssertionError("Ctrl-C does not end the program")


@posix
def test_ctrl_c_ends_with_one_sentence(tmp_path: Path, shop_folder: Path) -> None:
    """Another laptop holds the ledger, so the program waits with the end of the job on the disk."""
    script = write_script(tmp_path / "given-up", f"{HEAD}  - abandon: no parts\n")
    with turn(shop_folder / LEDGER):
        process = subprocess.Popen(
            [sys.executable, "-m", "baycompanion", "play", str(script)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        _wait_for_end(shop_folder / "jobs", process)
        out, err = _interrupt(process)
    assert (process.returncode, out) == (Exit.STOPPED, "")
    assert err.strip() == "Stopped. Everything that was told as done is on the disk."


class Stopping:
    """What is asked for when Ctrl-C comes: its words as a model is made, its name as a class is."""

    def __repr__(self) -> str:
        raise KeyboardInterrupt

    def __set_name__(self, owner: type, name: str) -> None:
        raise KeyboardInterrupt


def make_model() -> None:
    SchemaSerializer({"type": "literal", "expected": [Stopping()]})


def make_class() -> None:
    type("Made", (), {"field": Stopping()})


@pytest.mark.parametrize("make", [make_model, make_class])
def test_ctrl_c_while_a_model_or_a_class_is_made_is_no_failure_of_the_program(
    make: Callable[[], None], capsys: pytest.CaptureFixture[str]
) -> None:
    assert attend(make, Chosen()) == Exit.STOPPED
    told = capsys.readouterr().err
    assert told == "Stopped. Everything that was told as done is on the disk.\n"


FAIL = (
    "import sys\n"
    "import baycompanion.commands.jobs as jobs\n"
    "def fail(*_):\n"
    "    secret = 'pin-4711'\n"
    "    raise RuntimeError('the sky fell')\n"
    "jobs.list_jobs = fail\n"
    "sys.argv = ['baycompanion', 'jobs']\n"
    "from baycompanion.__main__ import main\n"
    "main()\n"
)


def test_a_fault_of_the_program_is_told_in_a_sentence_with_a_report(shop_folder: Path) -> None:
    done = python("-c", FAIL)
    assert (done.returncode, done.stdout) == (Exit.UNFORESEEN, "")
    [line] = done.stderr.splitlines()
    [report] = (shop_folder / "reports").iterdir()
    assert line == (
        f"The program itself failed: RuntimeError. What happened stands in {report}; "
        "nothing saved is lost."
    )
    told = report.read_text(encoding="utf-8")
    assert "baycompanion 0.1.0, Python 3." in told
    assert "RuntimeError: the sky fell" in told


def test_a_report_holds_no_values_of_the_program(shop_folder: Path) -> None:
    """The line that sets the secret is no line of the program's own way to its fault."""
    python("-c", FAIL)
    [report] = (shop_folder / "reports").iterdir()
    assert "pin-4711" not in report.read_text(encoding="utf-8")


def test_a_report_goes_to_the_temporary_files_where_there_is_no_shop(tmp_path: Path) -> None:
    code = (
        FAIL.replace("commands.jobs as jobs", "commands.check as jobs")
        .replace("jobs.list_jobs", "jobs.find_procedure")
        .replace("'jobs']", "'check', 'lamp', '--shop', 'nowhere']")
    )
    done = python("-c", code, env={"TMPDIR": str(tmp_path), "TEMP": str(tmp_path)})
    assert done.returncode == Exit.UNFORESEEN
    [report] = tmp_path.glob("baycompanion-*.txt")
    assert str(report) in done.stderr
    assert not Path("nowhere").exists()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize(
    "words", [["schema", "procedure"], ["check", "lamp", "--json"], ["--help"]], ids=" ".join
)
def test_a_full_disk_behind_the_output_is_told_of(words: list[str]) -> None:
    with open("/dev/full", "wb") as full:  # noqa: PTH123
        done = subprocess.run(
            [sys.executable, "-m", "baycompanion", *words],
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=60,
            check=False,
        )
    assert done.returncode == Exit.TROUBLE
    told = done.stderr.decode().splitlines()
    assert told[-1] == "The output cannot be written: no space left on device."
    assert "Exception ignored" not in done.stderr.decode()


@posix
def test_closed_streams_are_no_fault(shop_folder: Path) -> None:
    shell = f'"{sys.executable}" -m baycompanion jobs <&- >&- 2>&-'
    assert subprocess.run(["sh", "-c", shell], timeout=60, check=False).returncode == Exit.DONE
    assert not (shop_folder / "reports").exists()


def test_a_file_that_is_closed_to_us_is_no_failure_of_the_program(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Whether a file is there cannot be told in a folder that is closed, wherever that is asked."""

    def look() -> None:
        raise PermissionError(13, os.strerror(13), "shop/ledger.jsonl")

    assert attend(look, Chosen()) == Exit.TROUBLE
    told = capsys.readouterr().err
    assert told == "shop/ledger.jsonl cannot be used: permission denied.\n"


def test_a_pin_comes_from_a_pipe_and_the_lines_behind_it_are_read(tmp_path: Path) -> None:
    """Without a terminal, Python itself would warn of its getpass, and read the PIN aloud."""
    shop = ("--shop", str(tmp_path / "shop"))
    run = ("-m", "baycompanion")
    made = python(*run, "staff", "add", "S9", "--role", "supervisor", *shop, input="7351\n7351\n")
    assert made.returncode == Exit.DONE, made.stderr
    keys = ("start", "comeback", "--work-order", "7", "--vehicle", "van", "--by", "S9", *shop)
    started = python(*run, *keys, "--plain", input="7351\nwhere\n", start_new_session=True)
    assert (started.returncode, started.stderr) == (Exit.DONE, "")
    assert "7 · van · " in started.stdout
    ended = python(*run, *keys, stdin=subprocess.DEVNULL, start_new_session=True)
    assert ended.returncode == Exit.UNUSABLE
    assert ended.stderr.startswith("PIN of S9: nothing more was given. Pipe a line for each")
