"""Each command with good and with bad input: its output, its exit code, its JSON."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result
from freezegun import freeze_time
from jsonschema import Draft202012Validator
from lamp import ACTIONS, HEAD, PROCEDURE, SCRIPT, write_script

from baycompanion.exits import Exit
from baycompanion.store.job.folder import read_job
from baycompanion.store.shelf import shipped

Run = Callable[..., Result]

START = ("start", "lamp", "--work-order", "WO 1042", "--vehicle", "grey five-door estate")

LAMPS = """\
parts: none
choices:
  - choice: lamps
    title: Lamps
    answers: [one, two]
"""
ASKED = """\
      - choose: How many lamps are there?
        id: ask
        settles: lamps
      - do: Lay the second lamp out.
        id: second
        when: { lamps: two }
"""


def begin(run: Run, *more: str) -> str:
    """Start a job and return its name."""
    result = run(*START, "--by", "T1", *more)
    assert result.exit_code == Exit.DONE, result.stderr
    return result.stdout.strip()


def line_of(text: str) -> int:
    """Return the number of the one line of the lamp procedure that is `text`."""
    lines = PROCEDURE.splitlines()
    assert lines.count(text) == 1
    return lines.index(text) + 1


def one_sentence(result: Result, code: Exit) -> str:
    """Return the one line that was told on stderr, nothing being on stdout."""
    assert result.exit_code == code, (result.exit_code, result.stderr)
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    [line] = result.stderr.splitlines()
    return line


class TestStart:
    """`start` takes the keys in."""

    @freeze_time("2026-03-02T08:30:00Z")
    def test_a_job_is_made_and_its_name_printed(self, run: Run, shop_folder: Path) -> None:
        result = run(*START, "--by", "t1", "--vin", "00DEM0000TEST1042", "--plate", "DEMO 42")
        assert result.exit_code == Exit.DONE
        assert result.stdout == "20260302-wo-1042\n"
        assert "baycompanion resume 20260302-wo-1042" in result.stderr
        opened = read_job(shop_folder / "jobs" / "20260302-wo-1042").state
        assert opened.opened_at == "2026-03-02T08:30:00.000Z"
        assert opened.technician == "T1"
        assert opened.opened.work_order == "WO 1042"
        assert opened.opened.vehicle.model_dump() == {
            "description": "grey five-door estate",
            "vin": "00DEM0000TEST1042",
            "plate": "DEMO 42",
        }

    def test_a_program_reads_where_the_job_lies(self, run: Run, shop_folder: Path) -> None:
        told = json.loads(run(*START, "--by", "T1", "--json").stdout)
        assert Path(told["folder"]) == shop_folder / "jobs" / told["job"]
        assert (Path(told["folder"]) / "journal.jsonl").is_file()

    def test_what_was_typed_is_cleaned_at_the_door(self, run: Run, shop_folder: Path) -> None:
        name = begin(run, "--plate", "A\x1b]0;x\x07\u202eB  C\n")
        plate = read_job(shop_folder / "jobs" / name).state.opened.vehicle.plate
        assert plate == "A\ufffd]0;x\ufffd\ufffdB C"

    def test_a_shop_of_one_needs_no_by(self, run: Run, shop_folder: Path) -> None:
        (shop_folder / "staff.yaml").write_text("staff: [{ id: Z9, role: technician }]\n")
        assert run(*START).exit_code == Exit.DONE

    def test_without_by_the_staff_is_offered(self, run: Run) -> None:
        line = one_sentence(run(*START), Exit.UNUSABLE)
        assert line.startswith("Say who takes the keys: --by and one of T1, T2, S1.")

    def test_somebody_unknown_takes_no_keys(self, run: Run) -> None:
        line = one_sentence(run(*START, "--by", "T3x"), Exit.TROUBLE)
        assert line == "“T3x” is not on the staff of this shop. Write one of: T1, T2, S1."

    def test_an_unknown_procedure_is_answered_with_the_nearest(self, run: Run) -> None:
        words = ["lmap" if word == "lamp" else word for word in START]
        line = one_sentence(run(*words, "--by", "T1"), Exit.TROUBLE)
        assert line == "There is no procedure “lmap”. Did you mean lamp?"

    @pytest.mark.parametrize("option", ["--work-order", "--vehicle"])
    def test_an_empty_entry_is_refused(self, run: Run, option: str) -> None:
        words = [*START, "--by", "T1", option, " \t "]
        assert f"{option} is empty" in one_sentence(run(*words), Exit.UNUSABLE)

    @pytest.mark.parametrize("option", ["--earlier", "--order"])
    def test_an_option_that_names_nothing_is_refused(self, run: Run, option: str) -> None:
        """A job began without the earlier one, and nobody was told."""
        words = [*START, "--by", "T1", option, " "]
        assert f"{option} is empty" in one_sentence(run(*words), Exit.UNUSABLE)

    def test_an_endless_entry_is_refused(self, run: Run) -> None:
        result = run(*START, "--by", "T1", "--vin", "x" * 501)
        assert "--vin is longer than 500 characters" in one_sentence(result, Exit.UNUSABLE)

    def test_a_missing_option_is_named(self, run: Run) -> None:
        line = one_sentence(run("start", "lamp", "--vehicle", "van"), Exit.UNUSABLE)
        assert line == "Missing option '--work-order'. See baycompanion start --help."

    def test_an_earlier_job_lies_beside_the_new_one(self, run: Run, shop_folder: Path) -> None:
        assert run("play", str(write_script(shop_folder))).exit_code == Exit.DONE
        [earlier] = (shop_folder / "jobs").iterdir()
        for named in (earlier.name, str(earlier)):
            folder = shop_folder / "jobs" / begin(run, "--earlier", named)
            opened = read_job(folder).state.opened
            assert opened.earlier is not None
            assert opened.earlier.last_hash == read_job(earlier).state.head

    def test_an_earlier_job_under_way_or_of_another_vehicle_is_refused(
        self, run: Run, shop_folder: Path
    ) -> None:
        begun = begin(run, "--vin", "00DEM0000TEST1042")
        under_way = one_sentence(run(*START, "--by", "T1", "--earlier", begun), Exit.TROUBLE)
        assert under_way == (
            f"The job {begun} is still under way. End it first, or start without an earlier job."
        )
        assert run("play", str(write_script(shop_folder))).exit_code == Exit.DONE
        nobody = one_sentence(run(*START, "--by", "T1", "--earlier", "zzz"), Exit.TROUBLE)
        assert nobody.startswith("There is no job “zzz”, nor an ended one of that plate or VIN.")

    def test_an_earlier_job_is_named_by_its_plate_and_another_plate_is_told(
        self, run: Run, shop_folder: Path
    ) -> None:
        given_up = HEAD.replace("vehicle: { ", "vehicle: { plate: DEMO 7, ")
        for number in (1, 2):
            script = given_up.replace("WO 7/b", f"WO 7/{number}") + ACTIONS
            assert run("play", str(write_script(shop_folder, script))).exit_code == Exit.DONE
        several = one_sentence(run(*START, "--by", "T1", "--earlier", "demo7"), Exit.TROUBLE)
        assert several.startswith("“demo7” fits more than one job. Write one of: 20260302-wo-7-")
        result = run(*START, "--by", "T1", "--earlier", "wo7/2", "--plate", "DEMO 8")
        opened = read_job(shop_folder / "jobs" / result.stdout.strip()).state.opened
        assert opened.earlier is not None and opened.earlier.work_order == "WO 7/2"
        assert result.stderr.startswith(
            "Warning: the plate is DEMO 8, and in the earlier job WO 7/2 it was DEMO 7; "
        )

    def test_plate_and_vin_are_those_of_the_earlier_job_unless_another_plate_is_typed(
        self, run: Run, shop_folder: Path
    ) -> None:
        """In the form they stood there already, and on the command line they got lost."""
        script = HEAD.replace("vehicle: { ", "vehicle: { plate: DEMO 7, ") + ACTIONS
        assert run("play", str(write_script(shop_folder, script))).exit_code == Exit.DONE
        for typed, plate, vin in (
            ((), "DEMO 7", "00DEM0000TEST0007"),
            (("--plate", "demo-7"), "demo-7", "00DEM0000TEST0007"),
            (("--plate", "DEMO 8"), "DEMO 8", ""),
        ):
            job = shop_folder / "jobs" / begin(run, "--earlier", "WO 7/b", *typed)
            vehicle = read_job(job).state.opened.vehicle
            assert (vehicle.plate, vehicle.vin) == (plate, vin)

    def test_a_procedure_with_problems_starts_no_job(self, run: Run, shop_folder: Path) -> None:
        broken = PROCEDURE.replace("passed: lights", "passed: ligths")
        (shop_folder / "procedures" / "lamp.yaml").write_text(broken, encoding="utf-8")
        result = run(*START, "--by", "T1")
        assert result.exit_code == Exit.UNUSABLE
        assert "Did you mean lights?" in result.stderr
        assert list((shop_folder / "jobs").iterdir()) == []

    def test_in_a_terminal_the_job_opens_on_the_screen(
        self, run: Run, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        shown: list[tuple[str, str]] = []
        monkeypatch.setattr("baycompanion.commands.start.in_terminal", lambda: True)
        monkeypatch.setattr(
            "baycompanion.screens.run.run_job",
            lambda shop, folder, who: shown.append((folder.name, who.id)) or 0,
        )
        assert run(*START, "--by", "T2").exit_code == Exit.DONE
        [(name, who)] = shown
        assert name.endswith("-wo-1042")
        assert who == "T2"


class TestJobs:
    """`jobs` lists them."""

    def test_an_empty_shop_says_how_to_start(self, run: Run) -> None:
        result = run("jobs")
        assert (result.exit_code, result.stdout) == (Exit.DONE, "")
        assert result.stderr.startswith("No jobs yet. Start one: baycompanion start ")

    def test_an_empty_shop_is_an_empty_list(self, run: Run) -> None:
        assert json.loads(run("jobs", "--json").stdout) == []

    def test_jobs_stand_in_columns_with_how_far_they_are(self, run: Run, tmp_path: Path) -> None:
        run("play", str(write_script(tmp_path / "script")))
        name = begin(run)
        result = run("jobs")
        assert result.exit_code == Exit.DONE
        heading, first, second = result.stdout.splitlines()
        assert heading.split() == [
            "Job",
            "Work",
            "order",
            "Vehicle",
            "Plate",
            "Procedure",
            "Opened",
            "(UTC)",
            "Standing",
        ]
        assert first.startswith(f"{name}  WO 1042")
        assert first.endswith("under way, step 1 of 6, 0 min, T1")
        assert second.split()[:3] == ["20260302-wo-7-b", "WO", "7/b"]
        assert second.endswith("2026-03-02 08:30  closed")

    def test_a_job_under_way_stands_as_its_own_screen_counts(
        self, run: Run, tmp_path: Path, shop_folder: Path
    ) -> None:
        """By the file, with the steps that its choices leave out: a program reads those of both."""
        asked = PROCEDURE.replace("parts: none\n", LAMPS).replace(
            "    steps:\n      - do: Put", f"    steps:\n{ASKED}      - do: Put", 1
        )
        (shop_folder / "procedures" / "lamp.yaml").write_text(asked, encoding="utf-8")
        chosen = ACTIONS.replace("  - { tick", "  - { answer: ask, value: one }\n  - { tick", 1)
        half = HEAD + "".join(chosen.splitlines(keepends=True)[:4])
        assert run("play", str(write_script(tmp_path / "s", half))).exit_code == Exit.REFUSED
        assert "under way, step 4 of 8, " in run("jobs").stdout
        assert " step 4 of 8 " in run("--plain").stdout
        [row] = json.loads(run("jobs", "--json").stdout)
        assert (row["steps_finished"], row["steps"]) == (2, 7)
        assert "on_board" not in row

    def test_a_program_reads_how_far_a_job_is(self, run: Run, tmp_path: Path) -> None:
        half = HEAD + "".join(ACTIONS.splitlines(keepends=True)[:5]).replace(
            "hazards }",
            "hazards }\n  - { pause: meal, loose: nothing, first: go on }\n  - { resume: back }",
        )
        assert run("play", str(write_script(tmp_path / "s", half))).exit_code == Exit.REFUSED
        [row] = json.loads(run("jobs", "--json").stdout)
        assert row["status"] == "under way"
        assert row["paused"] is False
        assert (row["step"], row["phase"]) == ("lamp-in", "fit")
        assert (row["steps_finished"], row["steps"]) == (2, 6)
        assert row["technician"] == "T1"
        assert row["vehicle"]["vin"] == "00DEM0000TEST0007"

    def test_those_that_fit_a_plate_vin_or_work_order_are_listed_alone(self, run: Run) -> None:
        first = begin(run, "--plate", "DEMO 42")
        second = begin(run, "--vin", "00DEM0000TEST0042")
        for sought, names in [
            ("demo-4", [first]),
            ("test 0042", [second]),
            ("wo1042", [second, first]),
        ]:
            listed = json.loads(run("jobs", "--find", sought, "--json").stdout)
            assert [row["job"] for row in listed] == names
        told = run("jobs", "--find", "demo4").stdout.splitlines()
        assert len(told) == 2 and "DEMO 42" in told[1]

    def test_none_that_fits_is_said_with_what_to_do(self, run: Run) -> None:
        begin(run)
        assert one_sentence(run("jobs", "--find", "zzz"), Exit.DONE) == (
            "No job has “zzz” in its plate, VIN or work order. Type less of it."
        )
        assert json.loads(run("jobs", "--find", "zzz", "--json").stdout) == []
        unusable = one_sentence(run("jobs", "--find", " - "), Exit.UNUSABLE)
        assert unusable.startswith("--find “-” has no letter and no digit.")

    def test_a_damaged_job_is_told_of_and_the_others_listed(
        self, run: Run, shop_folder: Path
    ) -> None:
        name = begin(run)
        damaged = shop_folder / "jobs" / "20200101-old"
        damaged.mkdir()
        (damaged / "journal.jsonl").write_text("{}\n")
        result = run("jobs")
        assert result.exit_code == Exit.TROUBLE
        assert name in result.stdout
        assert "journal.jsonl:1:" in result.stderr


class TestResume:
    """`resume` needs a terminal."""

    def test_without_a_terminal_the_record_is_offered(self, run: Run) -> None:
        name = begin(run)
        line = one_sentence(run("resume", name), Exit.REFUSED)
        assert line.endswith(f"baycompanion record {name}")

    def test_a_closed_job_is_not_resumed(self, run: Run, tmp_path: Path) -> None:
        run("play", str(write_script(tmp_path / "s")))
        result = run("resume", "WO 7/b")
        assert result.exit_code == Exit.REFUSED
        assert result.stderr.startswith("20260302-wo-7-b is closed.")
        for command in ("record", "handover", "sheet", "timeline"):
            assert f"baycompanion {command} 20260302-wo-7-b" in result.stderr
            assert run(command, "20260302-wo-7-b").exit_code == Exit.DONE

    def test_an_unknown_job_is_answered_with_those_there_are(self, run: Run) -> None:
        name = begin(run)
        line = one_sentence(run("resume", "WO 9"), Exit.TROUBLE)
        assert line == f"There is no job “WO 9”. Write one of: {name}."

    @pytest.mark.parametrize(("by", "who"), [((), "T1"), (("--by", "S1"), "S1")])
    def test_in_a_terminal_it_opens_for_whoever_has_it_or_is_named(
        self, run: Run, monkeypatch: pytest.MonkeyPatch, by: tuple[str, ...], who: str
    ) -> None:
        name = begin(run)
        shown: list[tuple[str, str]] = []
        monkeypatch.setattr("baycompanion.commands.resume.in_terminal", lambda: True)
        monkeypatch.setattr(
            "baycompanion.screens.run.run_job",
            lambda shop, folder, who: shown.append((folder.name, who.id)) or 0,
        )
        assert run("resume", name, *by).exit_code == Exit.DONE
        assert shown == [(name, who)]


class TestRecord:
    """`record` writes or prints it."""

    def test_the_record_of_a_job_under_way_is_provisional(
        self, run: Run, shop_folder: Path
    ) -> None:
        name = begin(run)
        result = run("record", name)
        assert result.exit_code == Exit.DONE
        path = Path(result.stdout.strip())
        assert path == shop_folder / "jobs" / name / "record.json"
        assert json.loads(path.read_bytes())["status"] == "provisional"
        assert result.stderr == f"{name} is still under way, so this record is provisional.\n"

    def test_the_record_of_a_closed_job_is_printed_as_it_was_written(
        self, run: Run, tmp_path: Path, shop_folder: Path
    ) -> None:
        run("play", str(write_script(tmp_path / "s")))
        written = (shop_folder / "jobs" / "20260302-wo-7-b" / "record.json").read_bytes()
        result = run("record", "wo 7/b", "--json")
        assert (result.stdout_bytes, result.stderr) == (written, "")

    def test_printing_writes_no_file(self, run: Run, shop_folder: Path) -> None:
        name = begin(run)
        before = sorted(shop_folder.rglob("*"))
        printed = json.loads(run("record", name, "--json").stdout)
        assert printed["job"] == name
        assert sorted(shop_folder.rglob("*")) == before

    def test_a_torn_line_is_told_of_and_left_alone(self, run: Run, shop_folder: Path) -> None:
        name = begin(run)
        journal = shop_folder / "jobs" / name / "journal.jsonl"
        journal.write_bytes(journal.read_bytes() + b'{"seq":2,"at"')
        before = journal.read_bytes()
        result = run("record", name)
        assert result.exit_code == Exit.DONE
        assert "torn" in result.stderr
        assert journal.read_bytes() == before

    def test_a_changed_journal_is_refused_with_its_line(self, run: Run, shop_folder: Path) -> None:
        name = begin(run)
        journal = shop_folder / "jobs" / name / "journal.jsonl"
        journal.write_bytes(journal.read_bytes().replace(b"grey", b"blue"))
        line = one_sentence(run("record", name), Exit.TROUBLE)
        assert "journal.jsonl:1: It was changed after it was written" in line


class TestCheck:
    """`check` says what is wrong."""

    def test_the_shipped_procedures_have_no_problems(self, run: Run) -> None:
        shelf = [path.stem for path in shipped("procedures").glob("*.yaml")]
        assert len(shelf) >= 6
        result = run("check", *shelf)
        assert result.exit_code == Exit.DONE, result.stdout

    def test_a_procedure_of_the_shop_is_checked_by_its_name(self, run: Run) -> None:
        assert run("check", "lamp").exit_code == Exit.DONE

    def test_problems_are_printed_with_place_and_cure(self, run: Run, tmp_path: Path) -> None:
        path = tmp_path / "lamp.yaml"
        path.write_text(PROCEDURE.replace("passed: lights", "passed: ligths"), encoding="utf-8")
        result = run("check", str(path))
        assert result.exit_code == Exit.REFUSED
        line = next(line for line in result.stdout.splitlines() if "ligths" in line)
        assert line.startswith(f"{path}:{line_of('      - passed: lights')}:17: ")
        assert line.endswith("Did you mean lights?")
        assert "problem" in result.stderr

    def test_a_program_reads_problems_one_by_one(self, run: Run, tmp_path: Path) -> None:
        path = tmp_path / "lamp.yaml"
        path.write_text(PROCEDURE.replace("target: 2 min", "target: soon"), encoding="utf-8")
        result = run("check", "--json", str(path))
        assert result.exit_code == Exit.REFUSED
        [problem] = json.loads(result.stdout)
        assert problem == {
            "file": str(path),
            "line": line_of("    target: 2 min"),
            "column": 13,
            "weight": "error",
            "what": "“soon” is no length of time",
            "instead": "Write it like 20 min, 1 h 30 min or 90 s",
        }

    def test_a_file_with_another_name_than_its_procedure_is_told(
        self, run: Run, tmp_path: Path
    ) -> None:
        path = tmp_path / "light.yaml"
        path.write_text(PROCEDURE, encoding="utf-8")
        result = run("check", str(path))
        assert result.exit_code == Exit.DONE
        [line] = [line for line in result.stdout.splitlines() if "The shelf" in line]
        assert line == (
            f"{path}:{line_of('procedure: lamp')}:12: warning: The shelf finds this procedure as "
            "“light”, the name of its file, and a job of it looks for a newer revision as “lamp”. "
            "Call the file lamp.yaml, or write procedure: light."
        )

    def test_warnings_alone_are_no_problem(self, run: Run, tmp_path: Path) -> None:
        path = tmp_path / "lamp.yaml"
        long = "Show the owner " + "and then again " * 10 + "the lamp."
        path.write_text(PROCEDURE.replace("Show the owner the lamp.", long), encoding="utf-8")
        result = run("check", str(path))
        assert result.exit_code == Exit.DONE
        assert "warning: " in result.stdout
        assert result.stderr.startswith("0 problems, ")

    def test_a_file_that_cannot_be_read_is_told_of_after_the_others(
        self, run: Run, tmp_path: Path
    ) -> None:
        (tmp_path / "latin.yaml").write_bytes(b"procedure: l\xe4mp\n")
        result = run("check", "gone.yaml", "lamp", "latin.yaml", "nonsense")
        assert result.exit_code == Exit.UNUSABLE
        assert result.stderr.splitlines()[:3] == [
            "There is no file gone.yaml. Check the name.",
            "latin.yaml:1: This is not UTF-8 text. Save the file as UTF-8.",
            "There is no procedure “nonsense”. Write one of: amplifier-and-subwoofer, "
            "comeback, dash-camera-hardwire, door-speakers, key-off-draw-hunt, lamp, "
            "rear-camera, receiver-swap, tracker-or-dealer-accessory.",
        ]

    @pytest.mark.parametrize("name", ["latin.yaml", "gone.yaml", "nonsense"])
    def test_a_file_that_was_not_read_is_not_said_to_have_no_problems(
        self, run: Run, tmp_path: Path, name: str
    ) -> None:
        (tmp_path / "latin.yaml").write_bytes(b"procedure: l\xe4mp\n")
        line = one_sentence(run("check", name), Exit.UNUSABLE)
        assert "No problems" not in line

    def test_a_file_that_is_no_yaml_has_a_problem(self, run: Run, tmp_path: Path) -> None:
        (tmp_path / "junk.yaml").write_text("procedure: [\n")
        result = run("check", "junk.yaml")
        assert result.exit_code == Exit.REFUSED
        assert result.stdout.startswith("junk.yaml:2:1: This is not YAML")

    def test_a_script_is_checked_as_a_script(self, run: Run, tmp_path: Path) -> None:
        good = write_script(tmp_path / "s")
        assert run("check", str(good)).exit_code == Exit.DONE
        good.write_text(SCRIPT.replace("answer: lights,", "answer: light,"), encoding="utf-8")
        result = run("check", str(good))
        assert result.exit_code == Exit.REFUSED
        assert result.stdout.endswith("lamp has no step “light”. Did you mean lights?\n")

    def test_a_shared_file_is_checked_as_one(self, run: Run, tmp_path: Path) -> None:
        (tmp_path / "shared.yaml").write_text("shared: keys\nphasse: []\n")
        result = run("check", "shared.yaml")
        assert result.exit_code == Exit.REFUSED
        assert "shared.yaml:2:1: “phasse” is not known here." in result.stdout

    def test_the_shop_is_not_touched(self, run: Run, tmp_path: Path) -> None:
        run("check", "receiver-swap", "--shop", str(tmp_path / "nowhere"))
        assert not (tmp_path / "nowhere").exists()


class TestSchema:
    """`schema` prints JSON Schemas."""

    @pytest.mark.parametrize("what", ["procedure", "record", "script"])
    def test_a_schema_is_one_by_the_standard(self, run: Run, what: str) -> None:
        result = run("schema", what)
        assert (result.exit_code, result.stderr) == (Exit.DONE, "")
        schema = json.loads(result.stdout)
        Draft202012Validator.check_schema(schema)
        assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
        assert schema["$id"] == f"urn:baycompanion:schema:{what}"

    def test_another_word_is_answered_with_those_there_are(self, run: Run) -> None:
        line = one_sentence(run("schema", "journal"), Exit.UNUSABLE)
        assert "'procedure', 'record', 'script'" in line

    def test_no_word_is_answered_with_those_there_are(self, run: Run) -> None:
        assert "procedure, record, script" in one_sentence(run("schema"), Exit.UNUSABLE)


class TestPlay:
    """`play` plays a script."""

    def test_what_came_of_a_job_is_summed_up(self, run: Run, tmp_path: Path) -> None:
        result = run("play", str(write_script(tmp_path / "s")))
        assert (result.exit_code, result.stderr) == (Exit.DONE, "")
        told = result.stdout
        assert "2026-03-02 08:38 UTC: keys back, clean" in told
        assert "lamp-proved: opened by its condition" in told
        assert "done: 6" in told
        path = Path(told.splitlines()[-1].split(maxsplit=1)[1])
        record = json.loads(path.read_bytes())
        assert record["fingerprint"] in told
        for phase in record["phases"]:
            minutes = f"{phase['worked_seconds'] // 60} min"
            target = f"{phase['target_seconds'] // 60} min"
            assert any(
                line.split(phase["title"])[1].split() == [*minutes.split(), *target.split()]
                for line in told.splitlines()
                if line.startswith(phase["title"])
            )

    def test_a_program_reads_the_record(self, run: Run, tmp_path: Path, shop_folder: Path) -> None:
        result = run("play", "--json", str(write_script(tmp_path / "s")))
        written = (shop_folder / "jobs" / "20260302-wo-7-b" / "record.json").read_bytes()
        assert result.stdout_bytes == written

    def test_a_refusal_says_where_and_why_and_keeps_the_job(self, run: Run, tmp_path: Path) -> None:
        path = write_script(tmp_path / "s", SCRIPT.replace("value: 12.60", "value: much"))
        result = run("play", str(path))
        assert result.exit_code == Exit.REFUSED
        first, second = result.stderr.splitlines()
        assert first.startswith(f"{path}:12:5: “much” is no number.")
        assert second.endswith("baycompanion resume 20260302-wo-7-b")
        assert "The job is still under way." in result.stdout

    def test_a_bad_script_makes_no_job(self, run: Run, tmp_path: Path, shop_folder: Path) -> None:
        path = write_script(tmp_path / "s", SCRIPT.replace("script: 1", "script: one"))
        line = one_sentence(run("play", str(path)), Exit.UNUSABLE)
        assert line.startswith(f"{path}:1:9: “script” cannot be “one”.")
        assert list((shop_folder / "jobs").iterdir()) == []

    def test_a_script_that_is_not_there_is_a_bad_one(self, run: Run) -> None:
        line = one_sentence(run("play", "gone.yaml"), Exit.UNUSABLE)
        assert line == "There is no file gone.yaml. Check the name."

    def test_a_script_that_is_no_text_is_told_of_with_its_line_once(
        self, run: Run, tmp_path: Path
    ) -> None:
        (tmp_path / "latin.yaml").write_bytes(b"script: 1\nprocedure: l\xe4mp\n")
        line = one_sentence(run("play", "latin.yaml"), Exit.UNUSABLE)
        assert line == "latin.yaml:2: This is not UTF-8 text. Save the file as UTF-8."

    @freeze_time("2026-05-05T10:00:00Z")
    def test_a_script_without_a_start_begins_now(self, run: Run, tmp_path: Path) -> None:
        path = write_script(tmp_path / "s", SCRIPT.replace("start: 2026-03-02T08:30:00Z\n", ""))
        record = json.loads(run("play", "--json", str(path)).stdout)
        assert record["opened_at"] == "2026-05-05T10:00:00.000Z"


class TestDemo:
    """`demo` makes a shop of its own."""

    @freeze_time("2026-05-05T10:00:00Z")
    def test_without_a_terminal_a_whole_job_is_played(
        self, run: Run, tmp_path: Path, shop_folder: Path
    ) -> None:
        before = sorted(shop_folder.rglob("*"))
        result = run("demo", "--folder", str(tmp_path / "demo"))
        assert result.exit_code == Exit.DONE
        assert "2026-05-04 08:30 UTC: keys in" in result.stdout
        assert "keys back, clean" in result.stdout
        path = Path(result.stdout.splitlines()[-1].split(maxsplit=1)[1])
        assert path.is_relative_to(tmp_path / "demo")
        assert json.loads(path.read_bytes())["status"] == "closed"
        assert sorted(shop_folder.rglob("*")) == before

    def test_a_program_reads_the_record_of_the_job(self, run: Run, tmp_path: Path) -> None:
        result = run("demo", "--json", "--folder", str(tmp_path / "demo"))
        assert json.loads(result.stdout)["procedure"]["id"] == "receiver-swap"

    def test_a_folder_with_something_in_it_is_left_alone(self, run: Run, tmp_path: Path) -> None:
        (tmp_path / "full").mkdir()
        (tmp_path / "full" / "letter.txt").write_text("mine")
        line = one_sentence(run("demo", "--folder", str(tmp_path / "full")), Exit.TROUBLE)
        assert line == f"{tmp_path / 'full'} is not empty. Name a folder that is new or empty."
        assert [path.name for path in (tmp_path / "full").iterdir()] == ["letter.txt"]

    def test_a_folder_that_cannot_be_made_is_told_of(self, run: Run, tmp_path: Path) -> None:
        (tmp_path / "file").write_text("x")
        one_sentence(run("demo", "--folder", str(tmp_path / "file" / "demo")), Exit.TROUBLE)

    def test_a_chain_of_shops_is_made_and_how_it_is_audited_is_told(
        self, run: Run, tmp_path: Path
    ) -> None:
        folder = tmp_path / "chain"
        result = run("demo", "--chain", "1", "--jobs", "2", "--honest", "--folder", str(folder))
        assert result.exit_code == Exit.DONE
        assert result.stdout == f"baycompanion audit {folder}/*/\n"
        rows = json.loads(run("jobs", "--json", "--shop", str(next(folder.glob("*/")))).stdout)
        assert len(rows) == 3

    @pytest.mark.parametrize(
        ("words", "code", "told"),
        [
            ("--chain 0 --folder NEW", Exit.UNUSABLE, "A chain of 0 shops cannot be made"),
            ("--chain 1 --jobs 0 --folder NEW", Exit.UNUSABLE, "0 jobs in each shop"),
            ("--chain 1 --folder FULL", Exit.TROUBLE, "is not empty"),
            ("--chain 1", Exit.UNUSABLE, "with --folder"),
            ("--chain 1 --plain --folder NEW", Exit.UNUSABLE, "without --headless"),
            ("--jobs 3", Exit.UNUSABLE, "belong to --chain"),
            ("--honest", Exit.UNUSABLE, "belong to --chain"),
            ("--chain many --folder NEW", Exit.UNUSABLE, "not a valid integer"),
        ],
    )
    def test_what_makes_no_chain_gets_one_sentence_and_leaves_no_folder(
        self, run: Run, tmp_path: Path, words: str, code: Exit, told: str
    ) -> None:
        (tmp_path / "full").mkdir()
        (tmp_path / "full" / "letter.txt").write_text("mine")
        places = {"NEW": str(tmp_path / "new"), "FULL": str(tmp_path / "full")}
        asked = [places.get(word, word) for word in words.split()]
        assert told in one_sentence(run("demo", *asked), code)
        assert not (tmp_path / "new").exists()
        assert [path.name for path in (tmp_path / "full").iterdir()] == ["letter.txt"]

    @freeze_time("2026-05-05T10:00:00Z")
    def test_in_a_terminal_the_board_opens_with_a_job_part_way(
        self, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        boards = []
        monkeypatch.setattr("baycompanion.commands.demo.in_terminal", lambda: True)
        monkeypatch.setattr(
            "baycompanion.screens.run.run_board", lambda opens: boards.append(opens()) or 0
        )
        result = run("demo", "--folder", str(tmp_path / "demo"))
        assert result.exit_code == Exit.DONE
        assert [board.folder for board in boards] == [tmp_path / "demo"]
        rows = json.loads(run("jobs", "--json", "--shop", str(tmp_path / "demo")).stdout)
        under_way = [row for row in rows if row["status"] == "under way"]
        assert [row["opened_at"][:10] for row in under_way] == ["2026-05-05"]
        assert 0 < under_way[0]["steps_finished"] < under_way[0]["steps"]
        closed = [row for row in rows if row["status"] == "closed"]
        assert {row["opened_at"][:10] for row in closed} == {
            "2026-05-01",
            "2026-05-02",
            "2026-05-03",
            "2026-05-04",
        }
        [job] = [Path(row["folder"]) for row in under_way]
        assert read_job(job).state.last_at == "2026-05-05T09:59:00.000Z"


class TestBoard:
    """`baycompanion` alone opens the board."""

    def test_without_a_terminal_the_list_is_offered(self, run: Run) -> None:
        line = one_sentence(run(), Exit.REFUSED)
        assert line.endswith("baycompanion jobs")

    def test_in_a_terminal_the_board_of_the_shop_opens(
        self, run: Run, shop_folder: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        boards = []
        monkeypatch.setattr("baycompanion.commands.board.in_terminal", lambda: True)
        monkeypatch.setattr(
            "baycompanion.screens.run.run_board",
            lambda opens, kept: boards.append(opens().folder) or 0,
        )
        assert run().exit_code == Exit.DONE
        assert boards == [shop_folder]


@pytest.mark.parametrize(
    "words",
    [
        ("jobs",),
        ("jobs", "--find", "1042"),
        ("record", "1042"),
        ("handover", "1042"),
        ("timeline", "1042"),
        ("resume", "1042"),
        ("revise", "1042"),
        ("seal",),
        ("staff", "list"),
        ("staff", "retire", "T1"),
        ("staff", "release", "T1", "lamp"),
        ("staff", "fade", "T1", "3"),
        ("staff", "take-back", "T1", "lamp"),
        ("staff", "sign-off", "T1", "lamp", "--job", "1042"),
        ("trainees",),
        ("practice", "--list"),
    ],
    ids=" ".join,
)
def test_what_begins_nothing_makes_no_shop_where_none_is(
    run: Run, tmp_path: Path, words: tuple[str, ...]
) -> None:
    (tmp_path / "pictures").mkdir()
    for folder in (tmp_path / "nowhere", tmp_path / "pictures"):
        before = sorted(tmp_path.rglob("*"))
        assert one_sentence(run(*words, "--shop", str(folder)), Exit.TROUBLE) == (
            f"There is no shop in {folder}. Name its folder with --shop, or open the board, which "
            f"makes a new one: baycompanion --shop {folder}."
        )
        assert sorted(tmp_path.rglob("*")) == before


def test_the_form_of_a_procedure_needs_no_shop(run: Run, tmp_path: Path) -> None:
    assert run("sheet", "receiver-swap", "--shop", str(tmp_path / "nowhere")).exit_code == Exit.DONE
    assert not (tmp_path / "nowhere").exists()
