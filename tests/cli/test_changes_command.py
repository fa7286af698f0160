"""`changes`: what is different between two procedure files, from the command line."""

import json
from collections.abc import Callable
from pathlib import Path

from click.testing import Result
from lamp import PROCEDURE
from test_commands import one_sentence

from baycompanion.exits import Exit

Run = Callable[..., Result]


def two(tmp_path: Path, *swaps: tuple[str, str]) -> tuple[str, str]:
    """Write the lamp procedure as it is, and as the swaps make it; return both paths."""
    text = PROCEDURE
    for old, new in swaps:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    paths = tmp_path / "old.yaml", tmp_path / "new.yaml"
    for path, words in zip(paths, (PROCEDURE, text), strict=True):
        path.write_text(words.replace("procedure: lamp", f"procedure: {path.stem}"), "utf-8")
    return str(paths[0]), str(paths[1])


def test_a_file_against_itself_says_that_nothing_is_different(run: Run) -> None:
    done = run("changes", "lamp", "lamp")
    assert done.exit_code == Exit.DONE
    assert done.stdout.splitlines()[-1] == "Nothing is different."


def test_a_wider_limit_is_told_and_a_weaker_gate_is_shouted(run: Run, tmp_path: Path) -> None:
    no_faults = ("      - no-open-fault: work\n", "")
    old, new = two(tmp_path, ("at-least: 11.5", "at-least: 10"), no_faults)
    done = run("changes", old, new)
    assert done.exit_code == Exit.REFUSED
    told = " ".join(done.stdout.split())
    assert (
        "WEAKER GATE lamp-proved: opens now while this is missing: "
        "the clearing of a fault of the work."
    ) in told
    assert "at least: 11.5 -> 10" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_programs_read_the_same(run: Run, tmp_path: Path) -> None:
    old, new = two(tmp_path, ("title: Fit the lamp\n", "title: Fit it\n"))
    said = json.loads(run("changes", old, new, "--json").stdout)
    assert said["shouts"] == []
    phases = next(each for each in said["sections"] if each["kind"] == "phases")
    assert phases["changed"][0]["differences"] == [
        {"about": "title", "was": ["Fit the lamp"], "now": ["Fit it"]}
    ]


def test_a_file_with_errors_is_refused_with_its_line(run: Run, tmp_path: Path) -> None:
    old, new = two(tmp_path, ("of: [lights]", "of: [light]"))
    assert "new.yaml:" in run("changes", old, new).stderr
    assert run("changes", old, new).exit_code == Exit.UNUSABLE
    assert "no procedure" in one_sentence(run("changes", "lamp", "lmap"), Exit.TROUBLE)
