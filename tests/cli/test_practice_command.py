"""`practice`: begun from a pipe, listed, and what a wrong command line says."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from baycompanion.cli import cli
from baycompanion.exits import Exit

Run = Callable[..., Result]

BEGUN = ("practice", "lamp", "--by", "T1", "--seed", "3", "--faults", "1")


def test_without_a_terminal_it_says_what_to_type(run: Run) -> None:
    result = run(*BEGUN)
    assert result.exit_code == Exit.REFUSED
    assert "Practice needs a terminal" in result.output
    assert "practice lamp --plain" in result.output


def test_plain_walks_it_from_a_pipe_and_the_list_tells_it(run: Run, shop_folder: Path) -> None:
    result = run(*BEGUN, "--plain")
    assert result.exit_code == Exit.DONE
    assert "PRACTICE: made-up vehicle, counts for nothing." in result.output
    told = run("practice", "--list").output
    assert "T1, Fit a reading lamp, revision 2, seed 3" in told
    assert "Under way: it can be gone on with." in told
    [each] = json.loads(run("practice", "--list", "--json").stdout)
    assert (each["practice"], each["who"], each["seed"], each["ended_at"]) == (True, "T1", 3, None)
    assert not list((shop_folder / "jobs").iterdir())


def test_an_ended_one_stays_readable(run: Run, shop_folder: Path) -> None:
    lines = "1\n1\n1\ngive up\nenough\nquit\n"
    ended = CliRunner().invoke(cli, [*BEGUN, "--plain"], input=lines)
    assert "planted fault caught." in ended.output
    told = run("practice", "--list", "--by", "T1").output
    assert "0 of 1 planted fault caught." in told
    assert "! Slipped through: " in told
    assert "• Would have caught it: step " in told
    [folder] = (shop_folder / "learning" / "T1" / "practice").iterdir()
    kept = json.loads((folder / "practice.json").read_text(encoding="utf-8"))
    [listed] = json.loads(run("practice", "--list", "--json").stdout)
    assert kept == listed
    assert kept["practice"] is True


def test_who_has_not_practised_is_told(run: Run) -> None:
    assert "Nobody has practised yet." in run("practice", "--list").output
    assert "S1 has not practised yet." in run("practice", "--list", "--by", "S1").output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("practice", "lamp", "--plain"), "Say who practises: --by and one of T1, T2, S1."),
        (("practice", "--phase", "fit", "--by", "T1"), "Name that, too."),
        (("practice", "lamp", "--json"), "--json belongs to --list."),
        (("practice", "lamp", "--list"), "--list takes --by, --json and --shop"),
        (("practice", "lamp", "--by", "T1", "--faults", "21"), "21"),
        (("practice", "lump", "--by", "T1", "--plain"), "There is no procedure “lump”"),
        (("practice", "lamp", "--by", "X9", "--plain"), "“X9” is not on the staff"),
        (("practice", "lamp", "--by", "T1", "--phase", "fix", "--plain"), "has no phase “fix”"),
    ],
)
def test_a_wrong_command_line_is_one_sentence(run: Run, words: tuple[str, ...], said: str) -> None:
    result = run(*words)
    assert result.exit_code != Exit.DONE
    assert said in result.output
    assert "Traceback" not in result.output
