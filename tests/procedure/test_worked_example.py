"""What the page on writing procedures shows comes out as it stands there."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.plain.new_procedure import ask_for
from baycompanion.procedure.skeleton import skeleton
from baycompanion.store.shop_place import VARIABLE

PAGE = (Path(__file__).parents[2] / "procedures" / "README.md").read_text(encoding="utf-8")
TALK, TOLD, COPIED = re.findall(r"^```text\n(.*?)^```$", PAGE, flags=re.MULTILINE | re.DOTALL)
[WHOLE] = re.findall(r"^```yaml\n(.*?)^```$", PAGE, flags=re.MULTILINE | re.DOTALL)
DRAFTED = re.search(r"write\n\n((?:    .*\n)+)", PAGE)


class ReadOut:
    """Answers as the page does, and holds every question against it."""

    def __init__(self, lines: list[str]) -> None:
        self._lines: Iterator[str] = iter(lines)

    def say(self, text: str) -> None:
        assert text == next(self._lines)

    def ask(self, prompt: str) -> str:
        line = next(self._lines)
        assert line.startswith(prompt)
        return line.removeprefix(prompt).strip()

    ask_secret = ask


def drafted() -> str:
    command, *lines = TALK.splitlines()
    assert command == "$ baycompanion new step-light"
    read_out = ReadOut(lines)
    text = skeleton(ask_for("step-light", read_out))
    with pytest.raises(StopIteration):
        read_out.ask("")
    return text


def test_the_copy_of_the_pattern_is_made_and_checked_and_shown_to_be_no_weaker(
    folder: Path,
) -> None:
    command, *lines = COPIED.splitlines()
    said, asked = lines
    title = "Fit a step heater"
    assert asked == f"What is the work called? {title}"
    done = CliRunner().invoke(cli, command.split()[2:], input=f"{title}\n")
    assert done.exit_code == Exit.DONE, done.stderr
    assert done.stdout.splitlines()[0] == said
    name = "tracker-or-dealer-accessory"
    assert checked(folder / "shop" / "procedures" / "step-heater.yaml") == "No problems.\n"
    assert f"`baycompanion changes {name} step-heater`" in PAGE
    assert "WEAKER" not in CliRunner().invoke(cli, ["changes", name, "step-heater"]).output


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "shop"))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def checked(path: Path) -> str:
    return CliRunner().invoke(cli, ["check", str(path)]).output


def test_the_questions_are_those_that_are_asked_and_the_draft_passes(folder: Path) -> None:
    path = folder / "step-light.yaml"
    path.write_text(drafted(), encoding="utf-8")
    assert checked(path) == "No problems.\n"


def test_the_step_that_is_written_into_the_draft_passes_too(folder: Path) -> None:
    assert DRAFTED is not None
    head, fitting, rest = drafted().partition("  - phase: fit-the-light\n")
    item = re.compile(r"      - do: Write the first act here\.\n(?:        .*\n)+")
    step = "".join(f"  {line}\n" for line in DRAFTED[1].splitlines())
    assert len(item.findall(rest)) == 1
    assert "`instrument: yes` below the name of the multimeter" in PAGE
    head = head.replace("    name: Multimeter\n", "    name: Multimeter\n    instrument: yes\n")
    path = folder / "step-light.yaml"
    path.write_text(head + fitting + item.sub(lambda _: step, rest), encoding="utf-8")
    assert "door-feed" in path.read_text(encoding="utf-8")
    assert checked(path) == "No problems.\n"


def test_the_whole_procedure_has_neither_problems_nor_warnings(folder: Path) -> None:
    path = folder / "key-battery.yaml"
    path.write_text(WHOLE, encoding="utf-8")
    assert checked(path) == "No problems.\n"


def test_what_changes_says_of_the_weaker_one_is_what_stands_there(folder: Path) -> None:
    swaps = (
        ("revision: 1", "revision: 2"),
        ("at-least: 3.0", "at-least: 2.8"),
        ("      - matching: screws-back\n", ""),
    )
    weaker = WHOLE
    for old, new in swaps:
        assert weaker.count(old) == 1
        weaker = weaker.replace(old, new)
    paths = folder / "key-battery.yaml", folder / "weaker.yaml"
    for path, text in zip(paths, (WHOLE, weaker), strict=True):
        path.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(cli, ["changes", *map(str, paths)])
    assert done.exit_code == Exit.REFUSED
    assert done.stdout == TOLD
