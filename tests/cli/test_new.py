"""`new`: its questions, the file that comes of them, and what it never touches."""

from collections.abc import Callable
from pathlib import Path

from click.testing import CliRunner, Result
from test_commands import one_sentence

from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.store.shelf import find_procedure, read_procedure

Run = Callable[..., Result]
ANSWERS = (
    "Fit a step light\nIs there a step?\nTake the vehicle in\nFit the light\n\n"
    "Multimeter\n\nThe light shines.\n\nT1\n"
)


def typed(answers: str, *words: str) -> Result:
    return CliRunner().invoke(cli, ["new", *words], input=answers)


def test_it_writes_into_the_shop_and_check_finds_nothing(run: Run, shop_folder: Path) -> None:
    done = typed(ANSWERS, "step-light")
    path = shop_folder / "procedures" / "step-light.yaml"
    assert done.exit_code == Exit.DONE, done.stderr
    assert done.stdout.splitlines()[-1] == str(path)
    assert "- check: The light shines." in path.read_text(encoding="utf-8")
    assert run("check", "step-light").stderr == "No problems.\n"


def test_enter_alone_takes_what_is_offered(run: Run, tmp_path: Path) -> None:
    done = typed("\nFit a lamp" + "\n" * 9, "plain", "--folder", str(tmp_path))
    assert done.exit_code == Exit.DONE, done.stderr
    assert "Nothing is written there." in done.stdout
    assert run("check", str(tmp_path / "plain.yaml")).stderr == "No problems.\n"


def test_nothing_that_is_there_is_touched(shop_folder: Path, tmp_path: Path) -> None:
    path = shop_folder / "procedures" / "lamp.yaml"
    before = path.read_bytes()
    assert "is there already" in one_sentence(typed(ANSWERS, "lamp"), Exit.TROUBLE)
    assert "is there already" in one_sentence(typed(ANSWERS, "receiver-swap"), Exit.TROUBLE)
    folder = ("--folder", str(path.parent))
    assert "is there already" in one_sentence(typed(ANSWERS, "lamp", *folder), Exit.TROUBLE)
    assert path.read_bytes() == before


def test_answers_that_end_too_soon_write_nothing(shop_folder: Path) -> None:
    done = typed("Fit a lamp\n", "short")
    assert done.exit_code == Exit.REFUSED
    assert "Nothing was written." in done.stderr
    assert not (shop_folder / "procedures" / "short.yaml").exists()


def test_a_name_that_is_none_and_a_folder_that_is_missing_are_refused(tmp_path: Path) -> None:
    assert one_sentence(typed(ANSWERS, "Step Light"), Exit.UNUSABLE) == (
        "“Step Light” is no name for a procedure. Write small letters, digits and single hyphens, "
        "60 at most. See baycompanion new --help."
    )
    missing = typed(ANSWERS, "x", "--folder", str(tmp_path / "gone"))
    assert "There is no folder" in one_sentence(missing, Exit.TROUBLE)
    (tmp_path / "there").write_text("", encoding="utf-8")
    file = typed(ANSWERS, "x", "--folder", str(tmp_path / "there"))
    told = one_sentence(file, Exit.TROUBLE)
    assert told.endswith("there is a file, and no folder. Name the folder that it lies in.")


def test_an_answer_that_check_warns_of_is_told_at_once(tmp_path: Path) -> None:
    long = "The light shines " + "and shines " * 20
    answers = ANSWERS.replace("The light shines.", long)
    done = typed(answers, "warned", "--folder", str(tmp_path))
    assert done.exit_code == Exit.DONE
    assert "This sentence has " in done.stderr


class TestLike:
    """A procedure is copied under another name, and its marked lines are told."""

    PATTERN = "tracker-or-dealer-accessory"

    def test_the_copy_passes_check_and_changes_says_that_only_its_name_is_new(
        self, run: Run, shop_folder: Path
    ) -> None:
        done = typed("Fit a step heater\n", "step-heater", "--like", self.PATTERN)
        assert done.exit_code == Exit.DONE, done.stderr
        path = shop_folder / "procedures" / "step-heater.yaml"
        assert run("check", "step-heater").stderr == "No problems.\n"
        text = path.read_text(encoding="utf-8")
        copied = read_procedure(path).procedure
        pattern = read_procedure(find_procedure(self.PATTERN, path.parent)).procedure
        assert (copied.procedure, copied.title, copied.revision) == (
            "step-heater",
            "Fit a step heater",
            1,
        )
        assert copied.changes == ("First issue.",)
        same = {"procedure": "", "title": "", "date": "", "changes": (), "revision": 1}
        assert copied.model_copy(update=same) == pattern.model_copy(update=same)
        marked = [n for n, line in enumerate(text.splitlines(), 1) if "# COPY" in line]
        assert f"they bear the mark COPY: {', '.join(map(str, marked))}." in done.stderr
        assert "# COPY: the name of the new file" not in text

    def test_every_remark_stays(self, shop_folder: Path) -> None:
        typed("Fit another receiver\n", "other-receiver", "--like", "receiver-swap")
        path = shop_folder / "procedures" / "other-receiver.yaml"
        remarks = [line for line in path.read_text("utf-8").splitlines() if line.startswith("#")]
        pattern = find_procedure("receiver-swap", path.parent).read_text("utf-8").splitlines()
        assert remarks == [line for line in pattern if line.startswith("#")]
        assert read_procedure(path).procedure.revision == 1

    def test_a_pattern_that_is_none_or_has_errors_is_not_copied(self, shop_folder: Path) -> None:
        nobody = typed("x\n", "a", "--like", "reciever-swap")
        assert "Did you mean receiver-swap?" in one_sentence(nobody, Exit.TROUBLE)
        broken = shop_folder / "procedures" / "broken.yaml"
        lamp = (shop_folder / "procedures" / "lamp.yaml").read_text(encoding="utf-8")
        broken.write_text(lamp.replace("passed: lights", "passed: nothing"), encoding="utf-8")
        assert typed("x\n", "a", "--like", str(broken)).exit_code == Exit.UNUSABLE
        assert not (shop_folder / "procedures" / "a.yaml").exists()

    def test_without_its_title_nothing_is_written(self, shop_folder: Path) -> None:
        assert typed("", "a", "--like", self.PATTERN).exit_code == Exit.REFUSED
        assert not (shop_folder / "procedures" / "a.yaml").exists()
