"""`drill`, typed: what it says where it cannot ask anything, and what it loads."""

import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from drilled import PIN, STAFF, answers, make_drill_shop

from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.store.recalls import read_recalls
from baycompanion.store.shop import open_shop
from baycompanion.working.drilling import Wish, sit_down

Run = Callable[..., Result]


@pytest.fixture
def drill(tmp_path: Path) -> Run:
    """Return what types `drill --plain` at a shop, and then lines."""
    folder = tmp_path / "drilled"
    make_drill_shop(folder)

    def typed(*words: str, lines: str = "") -> Result:
        line = ["drill", *words, "--plain", "--shop", str(folder)]
        return CliRunner().invoke(cli, line, input=lines)

    return typed


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("shelf-lamp", "--by", "X9"), Exit.TROUBLE, "“X9” is not on the staff of this shop."),
        (("shelf-lamp", "--by", "T9"), Exit.TROUBLE, "T9 is retired"),
        (("lamp-shelf", "--by", "T3"), Exit.TROUBLE, "There is no procedure “lamp-shelf”."),
        (("--by", "T3"), Exit.TROUBLE, "T3 has begun with no procedure yet. Write one of: "),
        (("shelf-lamp",), Exit.UNUSABLE, "Say who is drilled: --by and one of T3, T4, S1."),
        (("--phase", "fit", "--by", "T3"), Exit.UNUSABLE, "Name the procedure, too."),
        (("shelf-lamp", "--by", "T3", "--phase", "x"), Exit.TROUBLE, "There is no phase “x” here."),
        (("shelf-lamp", "--by", "T3", "--count", "0"), Exit.UNUSABLE, "--count"),
        (("../secret.yaml", "--by", "T3"), Exit.TROUBLE, "There is no file"),
    ],
)
def test_what_cannot_be_is_one_clear_sentence(
    drill: Run, words: tuple[str, ...], code: Exit, told: str
) -> None:
    result = drill(*words)
    assert (result.exit_code, result.stdout) == (code, "")
    assert told in result.stderr
    assert len(result.stderr.splitlines()) == 1


def test_a_procedure_with_errors_is_told_with_its_line(drill: Run, tmp_path: Path) -> None:
    path = tmp_path / "drilled" / "procedures" / "shelf-lamp.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("done: lead", "done: laed"), encoding="utf-8"
    )
    result = drill("shelf-lamp", "--by", "T3")
    assert result.exit_code == Exit.UNUSABLE
    assert "shelf-lamp.yaml:" in result.stderr and "laed" in result.stderr


def test_without_a_terminal_it_says_how_it_goes_anywhere(tmp_path: Path) -> None:
    folder = tmp_path / "drilled"
    make_drill_shop(folder)
    result = CliRunner().invoke(cli, ["drill", "shelf-lamp", "--by", "T3", "--shop", str(folder)])
    assert result.exit_code == Exit.REFUSED
    assert f"baycompanion drill --plain shelf-lamp --shop {folder}" in result.stderr


def test_the_id_is_kept_as_the_staff_file_spells_it(drill: Run, tmp_path: Path) -> None:
    folder = tmp_path / "drilled"
    result = drill("shelf-lamp", "--by", "t3", "--count", "1", lines="1\n2\n3\n4\n5\n6\nquit\n")
    assert result.exit_code == Exit.DONE, result.stderr
    if not read_recalls(folder, "T3"):  # the first question wants an order
        drill("shelf-lamp", "--by", "t3", "--all", "--phase", "look", lines="1\nquit\n")
    assert [path.name for path in (folder / "learning").iterdir()] == ["T3"]
    assert {event.by for event in read_recalls(folder, "T3")} == {"T3"}


def test_a_pin_comes_first_and_is_kept_as_given(drill: Run, tmp_path: Path) -> None:
    wrong = drill("shelf-lamp", "--by", "T4", lines="0000\n")
    assert "That is not the PIN of T4." in wrong.stdout
    assert "Question 1" not in wrong.stdout
    left = drill("shelf-lamp", "--by", "T4", lines="?back\n")
    assert (left.exit_code, "Question 1" in left.stdout) == (Exit.DONE, False)
    many = "".join(f"{n}\n" for n in (1, 2, 3, 1, 2, 3))
    right = drill("shelf-lamp", "--by", "T4", lines=f"{PIN}\n{many}quit\n")
    assert right.exit_code == Exit.DONE, right.stderr
    events = read_recalls(tmp_path / "drilled", "T4")
    assert {event.data.signed for event in events} == {"pin"}  # type: ignore[attr-defined]
    assert PIN not in right.stdout


def test_a_shop_of_one_needs_no_id(drill: Run, tmp_path: Path) -> None:
    one = "staff:\n  - { id: T3, role: technician }\n"
    assert one != STAFF
    (tmp_path / "drilled" / "staff.yaml").write_text(one, encoding="utf-8")
    assert "Drill of T3." in drill("shelf-lamp", lines="quit\n").stdout


def test_nothing_due_is_said_and_when_it_will_be(drill: Run, tmp_path: Path) -> None:
    shop = open_shop(tmp_path / "drilled")
    now = datetime.now(UTC)
    sitting = sit_down(shop, shop.person("T4"), "shelf-lamp", Wish(all_cards=True), lambda: now)
    while sitting.question is not None:
        sitting.answer(answers(sitting.question, True) or ())
        sitting.go_on()
    result = drill("shelf-lamp", "--by", "T4")
    assert (result.exit_code, result.stderr) == (Exit.DONE, "")
    first, then, *_ = result.stdout.splitlines()
    assert first == "Nothing is due for T4 in shelf-lamp."
    assert then == f"Next: {sitting.total} within the hour."
    assert "PIN" not in result.stdout


def test_a_pin_is_not_asked_where_nothing_would_come_of_it(drill: Run) -> None:
    result = drill("nope", "--by", "T4")
    assert "There is no procedure" in result.stderr
    assert "PIN" not in result.stdout + result.stderr


def test_the_board_loads_no_scheduler_and_no_questions(tmp_path: Path) -> None:
    """What is due comes from the log alone; the drill is loaded with its key."""
    make_drill_shop(tmp_path / "shop")
    code = (
        "import sys\n"
        "import baycompanion.screens.run, baycompanion.plain.run\n"
        "from pathlib import Path\n"
        "from datetime import datetime, UTC\n"
        "from baycompanion.store.shop import open_shop\n"
        "from baycompanion.working.board.due_today import due_today\n"
        f"due_today(open_shop(Path({str(tmp_path / 'shop')!r})), datetime.now(UTC))\n"
        "drill = 'baycompanion.learning.drill.'\n"
        "heavy = ('fsrs', drill + 'deck', drill + 'schedule', 'baycompanion.working.drilling')\n"
        "print([name for name in sys.modules if name.startswith(heavy)])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
