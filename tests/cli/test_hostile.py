"""Hostile names and files at the command line: one sentence each, an exit code, no traceback.

What is fed to each parser by itself stands in `tests/fuzz`; here the whole program meets it.
"""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result
from lamp import SCRIPT, play_text
from monsters import MONSTERS

from baycompanion.exits import Exit
from baycompanion.store.shop import open_shop
from baycompanion.text.clean import clean

Run = Callable[..., Result]

NAMES = (
    *("../../../etc", "../../x.yaml", "~nosuchuser/x.yaml", "", "-", ".", "..", "~", "a:b"),
    *("x" * 300, f"{'é' * 200}.yaml", "\x1b[2J\u202ex", "a\nb", "\udcff.yaml", "\ud800", "a\0b"),
)
"""Names that lead out, lead to no end, are none, are too long, act on a terminal, are half."""

START = ("start", "lamp", "--work-order", "1", "--vehicle", "v", "--by", "T1", "--json")
NAMED = {
    **{
        name: (name, "@") for name in ("resume", "record", "handover", "sheet", "timeline", "check")
    },
    **{name: (name, "@") for name in ("play", "map", "preview", "audit", "phase-times", "sum")},
    "revise": ("revise", "@"),
    "splice-plan": ("splice-plan", "@", "@"),
    "changes": ("changes", "@", "@"),
    "start": ("start", "@", *START[2:]),
    "work order": ("start", "lamp", "--work-order", "@", *START[4:]),
    "vehicle": (*START, "--vehicle", "@", "--vin", "@", "--plate", "@"),
    "who": (*START, "--by", "@"),
    "order": (*START, "--order", "@"),
    "earlier": (*START, "--earlier", "@"),
    "day": ("audit", "--since", "@"),
    "staff": ("staff", "add", "@", "--role", "technician", "--by", "S1"),
}


@pytest.fixture
def job(shop_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the folder of a job that ended; what is typed leads nowhere out of the test."""
    deep = tmp_path / "a" / "b" / "c" / "d"
    deep.mkdir(parents=True)
    monkeypatch.chdir(deep)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    return play_text(SCRIPT, tmp_path / "script", open_shop(shop_folder)).folder


WRITING = {
    "page": ("audit", "--html", "@"),
    "tables": ("export", "--ndjson", "@"),
    "new": ("new", "x", "--folder", "@"),
    "form": ("sheet", "lamp", "--to", "@"),
    "drawing": ("map", "lamp", "--svg", "@"),
    "hand-over": ("handover", "JOB", "--out", "@"),
    "shop": ("jobs", "--shop", "@"),
}
WRITTEN = tuple(name for name in NAMES if not name.startswith((".", "/", "~")) and name)
"""Names below the folder of the test: whoever runs it may write anywhere, and so would it."""


def assert_told(result: Result) -> None:
    """Prove that a command did its work, or said in a sentence why not."""
    assert result.exit_code in (Exit.DONE, Exit.REFUSED, Exit.UNUSABLE, Exit.TROUBLE), result.output
    told = result.stdout + result.stderr
    assert "Traceback" not in told
    assert clean(told) == told.replace("\r", "")
    if result.exit_code in (Exit.UNUSABLE, Exit.TROUBLE):
        assert result.stderr.splitlines()[0][-1] in ".?!", result.stderr


@pytest.mark.parametrize("command", NAMED.values(), ids=NAMED)
def test_a_hostile_name_is_refused_in_a_sentence(run: Run, job: Path, command: list[str]) -> None:
    for name in NAMES:
        assert_told(run(*(word.replace("@", name) for word in command)))


@pytest.mark.parametrize("command", WRITING.values(), ids=WRITING)
def test_a_hostile_name_is_written_to_or_refused_in_a_sentence(
    run: Run, job: Path, command: list[str]
) -> None:
    for name in WRITTEN:
        assert_told(run(*(word.replace("JOB", job.name).replace("@", name) for word in command)))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name there")
@pytest.mark.parametrize("command", WRITING.values(), ids=WRITING)
def test_nothing_is_written_in_place_of_a_pipe_or_a_device(
    run: Run, job: Path, tmp_path: Path, command: list[str]
) -> None:
    """A file is put in place whole, and so would replace what is no file at all."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    done = run(*(word.replace("JOB", job.name).replace("@", str(pipe)) for word in command))
    assert_told(done)
    assert done.exit_code != Exit.DONE
    assert pipe.is_fifo()


WHERE = {
    "any.yaml": (("check", "any.yaml"), ("play", "any.yaml"), ("splice-plan", "any.yaml", "@")),
    "shop/staff.yaml": (("jobs",), ("staff", "list")),
    "shop/shop.yaml": (("jobs",), ("sum", "splice", "awg=18,18")),
    "shop/procedures/lamp.yaml": (("check", "lamp"), ("map", "lamp")),
    "shop/ledger.jsonl": (("audit",), ("--plain",)),
    "shop/staff-log.jsonl": (("audit",), ("staff", "retire", "T2", "--by", "S1")),
    "shop/review.jsonl": (("review", "--plain"),),
    "shop/audit-index.sqlite": (("audit",),),
    "@/journal.jsonl": (("jobs",), ("record", "@"), ("timeline", "@"), ("resume", "@", "--plain")),
    "@/procedure.yaml": (("record", "@"), ("handover", "@")),
    "@/record.json": (("phase-times",), ("audit",), ("resume", "@", "--plain")),
    "@/draft.json": (("resume", "@", "--plain"),),
}
MET = (
    *("objects 100,000 deep", "an event 100,000 deep", "a megabyte in one line", "terminal codes"),
    *("a YAML bomb", "a YAML tag that would call", "UTF-16", "half a character"),
)
"""Monsters that the whole program meets; the parsers by themselves meet all."""


@pytest.mark.parametrize("where", WHERE)
def test_a_hostile_file_is_refused_in_a_sentence(
    run: Run, job: Path, tmp_path: Path, where: str
) -> None:
    path = Path("any.yaml") if where == "any.yaml" else tmp_path / where
    if where.startswith("@"):
        path = job / where[2:]
    for name in MET:
        for command in WHERE[where]:
            path.write_bytes(MONSTERS[name]())
            assert_told(run(*(word.replace("@", job.name) for word in command)))


@pytest.mark.skipif(os.name == "nt", reason="names are no bytes there")
@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        ((b"check", b"\xff\xfe.yaml"), 2, "There is no file ��.yaml. Check the name."),
        ((b"resume", b"\xff\x1b[2J"), 3, "There is no job “��[2J”."),
        (
            (
                *(word.encode() for word in START[:2]),
                b"--work-order",
                b"\xff",
                b"--vehicle",
                b"\xe2",
                b"--by",
                b"T1",
                b"--json",
            ),
            0,
            "",
        ),
    ],
)
def test_half_characters_in_a_command_line_are_shown_as_such(
    words: tuple[bytes, ...], code: int, told: str, shop_folder: Path
) -> None:
    given = [os.fsencode(sys.executable), b"-m", b"baycompanion", *words]
    ran = subprocess.run(given, capture_output=True, check=False, timeout=60)
    assert (ran.returncode, ran.stderr.decode().strip()[: len(told)]) == (code, told)
    assert b"Traceback" not in ran.stderr
    ran.stdout.decode()
