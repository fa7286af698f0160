"""The table of commands: each has its help and its place in the README, which has no other."""

import re
from collections.abc import Callable
from pathlib import Path

import click
import pytest
from click.testing import Result

from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.store.shop import open_shop

Run = Callable[..., Result]

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
COMMANDS = sorted(cli.commands)


def commands_below(group: click.Group, path: str = "") -> dict[str, click.Command]:
    """Return every command at any depth, by what is typed for it."""
    found: dict[str, click.Command] = {}
    for name, command in group.commands.items():
        found[f"{path}{name}"] = command
        if isinstance(command, click.Group):
            found |= commands_below(command, f"{path}{name} ")
    return found


TYPED = commands_below(cli)


def options_of(name: str) -> set[str]:
    """Return the options of a command and those below it; those of the group for no name."""
    below = [each for typed, each in TYPED.items() if f"{typed} ".startswith(f"{name} ")]
    params = [each for command in below for each in command.params] or cli.params
    return {option for each in params for option in each.opts}


def readme_rows(heading: str) -> list[list[str]]:
    """Return the rows of the table in the README whose heading begins with this word."""
    table = README.split(f"| {heading} |")[1].split("\n\n")[0]
    rows = [line.strip("|").split("|") for line in table.splitlines()[2:]]
    return [[cell.strip() for cell in row] for row in rows]


@pytest.mark.parametrize("name", TYPED)
def test_every_command_has_help_in_sentences(name: str, run: Run) -> None:
    command = TYPED[name]
    assert command.help
    assert command.help.strip().endswith(".")
    for flag in ("--help", "-h"):
        result = run(*name.split(), flag)
        assert (result.exit_code, result.stderr) == (Exit.DONE, "")
        assert result.stdout.startswith(f"Usage: baycompanion {name} [OPTIONS]")
    *group, last = name.split()
    assert f"\n  {last} " in run(*group, "--help").stdout


@pytest.mark.parametrize("name", TYPED)
def test_every_option_says_what_it_is(name: str) -> None:
    for parameter in TYPED[name].params:
        if isinstance(parameter, click.Option):
            assert parameter.help, parameter.name
            assert parameter.help.endswith("."), parameter.name
        else:
            assert parameter.make_metavar(click.Context(cli)).strip("{}[].") in (
                TYPED[name].help or ""
            ).upper() or isinstance(parameter.type, click.Choice)


@pytest.mark.parametrize("name", TYPED)
def test_an_argument_that_may_be_left_out_stands_in_brackets_and_no_other(name: str) -> None:
    for parameter in TYPED[name].params:
        if isinstance(parameter, click.Argument):
            shown = parameter.make_metavar(click.Context(cli))
            assert shown.startswith("[") is not parameter.required, shown


def test_every_command_that_reads_a_shop_can_be_told_which() -> None:
    without = {name for name in TYPED if "--shop" not in options_of(name)}
    assert without == {"demo", "schema"}


def test_the_readme_lists_every_command_and_no_other() -> None:
    told = [re.match(r"`baycompanion ?([a-z-]*)", row[0]) for row in readme_rows("command")]
    assert sorted(match[1] for match in told if match) == sorted(["", *COMMANDS])


def test_the_readme_says_which_commands_print_json() -> None:
    for row in readme_rows("command"):
        name = "".join(row[0].strip("`").split()[1:2])
        told = row[2].startswith("yes")
        assert told == ("--json" in options_of(name) or name == "schema"), row


def test_the_readme_lists_every_exit_code_and_no_other() -> None:
    told = {(int(code), name) for code, name, _ in readme_rows("code")}
    assert told == {(each.value, each.name.lower().replace("_", " ")) for each in Exit}


def test_every_command_line_in_the_readme_is_one(run: Run) -> None:
    lines = re.findall(r"(?:^|`)baycompanion ([a-z-]+)([^`\n]*)", README, flags=re.MULTILINE)
    assert lines
    for name, _ in lines:
        assert name in cli.commands


def test_the_version_is_told(run: Run) -> None:
    assert run("--version").stdout == "baycompanion, version 0.1.0\n"


def test_a_misspelt_command_is_told_in_one_line(run: Run) -> None:
    result = run("strat")
    assert result.exit_code == Exit.UNUSABLE
    assert result.stderr.startswith("No such command 'strat'")
    assert result.stderr.endswith("See baycompanion --help.\n")
    assert result.stderr.count("\n") == 1


def test_a_misspelt_option_is_told_in_one_line(run: Run) -> None:
    result = run("jobs", "--jsno")
    assert result.exit_code == Exit.UNUSABLE
    assert result.stderr.startswith("No such option")
    assert result.stderr.endswith("See baycompanion jobs --help.\n")


def test_the_shop_may_be_named_before_or_after_the_command(run: Run, tmp_path: Path) -> None:
    folder = open_shop(tmp_path / "shop").folder
    for place in (("--shop", "{}", "jobs"), ("jobs", "--shop", "{}")):
        assert run(*(word.format(folder) for word in place)).exit_code == Exit.DONE


def test_the_last_shop_named_counts(run: Run, tmp_path: Path) -> None:
    open_shop(tmp_path / "b")
    words = ("--shop", str(tmp_path / "a"), "jobs", "--shop", str(tmp_path / "b"))
    assert run(*words).exit_code == Exit.DONE
    assert not (tmp_path / "a").exists()


def test_a_shop_that_cannot_be_made_is_told_in_one_line(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    result = run("jobs", "--shop", str(tmp_path / "file"))
    assert result.exit_code == Exit.TROUBLE
    assert result.stderr.startswith(f"The shop folder {tmp_path / 'file'} cannot be made: ")
    assert result.stderr.count("\n") == 1


def test_the_home_of_somebody_unknown_is_no_shop(run: Run) -> None:
    result = run("jobs", "--shop", "~nobody-of-this-name/shop")
    assert result.exit_code == Exit.TROUBLE
    told = "There is no home folder behind ~nobody-of-this-name/shop. Type it out.\n"
    assert result.stderr == told


def test_a_bad_staff_file_is_told_with_its_line(run: Run, shop_folder: Path) -> None:
    (shop_folder / "staff.yaml").write_text("staff:\n  - { id: T1, role: mechanic }\n")
    result = run("jobs")
    assert result.exit_code == Exit.UNUSABLE
    assert result.stderr.startswith(f"{shop_folder / 'staff.yaml'}:2:")
    assert "“role” cannot be “mechanic”." in result.stderr
