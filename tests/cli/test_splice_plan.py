"""`splice-plan`: the table, its JSON, its exit codes, and files that cannot be used."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from baycompanion.exits import Exit
from baycompanion.wiring.model import LONGEST_ID

Run = Callable[..., Result]

DEMO = Path(__file__).parents[2] / "demo" / "connectors"
ISO = tuple(str(DEMO / f"iso-10487-{block}.yaml") for block in "ab")
VEHICLE, RECEIVER, INTERFACE, AMPLIFIER = (
    str(DEMO / f"{name}.yaml") for name in ("vehicle", "receiver", "wheel-interface", "amplifier")
)
CAPS = ("--caps", "small 700-3000, grey 1500-6500")

BAD = """\
connector: broken
title: A broken one
side: vehicle
source: Invented
pins:
  - { pin: 1, function: grund }
  - { pin: 2, function: ground, colour: blak }
"""


def test_with_nothing_forbidden_and_nothing_unknown_it_is_done(run: Run) -> None:
    result = run("splice-plan", *ISO, RECEIVER)
    assert result.exit_code == Exit.DONE, result.stderr
    assert result.stdout.startswith("JOINS (13): make each, tug it, tick it\n")
    assert "[ ] constant-feed  12 V at all times" in result.stdout
    assert "LEFT OVER (5): insulate each by itself\n" in result.stdout
    assert result.stderr == "13 joins, 5 left over, 0 forbidden, 0 not known.\n"


def test_a_lead_that_is_not_known_comes_first_with_how_to_measure_it(run: Run) -> None:
    result = run("splice-plan", VEHICLE, RECEIVER, INTERFACE, AMPLIFIER, *CAPS)
    assert result.exit_code == Exit.REFUSED
    assert result.stdout.startswith("NOT KNOWN (1)\n")
    assert "How to measure it:" in result.stdout
    assert "yellow" in result.stdout.split("How to measure it:")[1].split("2. ")[0]
    assert "cap: grey. 6185.5 cmil fits a grey cap" in result.stdout
    assert "! Colours differ (red, yellow): the function counts." in result.stdout


def test_a_forbidden_join_comes_before_everything(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "receiver.yaml"
    text = Path(RECEIVER).read_text(encoding="utf-8")
    dash = "function: lit-dash-feed, "
    assert dash in text
    file.write_text(text.replace(dash, f"{dash}join: vehicle/3, "), encoding="utf-8")
    result = run("splice-plan", VEHICLE, str(file))
    assert result.exit_code == Exit.REFUSED
    assert result.stdout.startswith("NEVER JOIN (1)\n")
    assert "receiver/12 (lit-dash-feed) comes to ground at vehicle/3" in " ".join(
        result.stdout.split()
    )


def test_no_line_is_wider_than_a_small_screen(run: Run, tmp_path: Path) -> None:
    long = tmp_path / "long.yaml"
    name = "x" * LONGEST_ID
    pins = "\n".join(
        f"  - {{ pin: PIN{number:05}, function: {function}, colour: light-green, "
        "stripe: dark-green, area-mm2: 119.123 }"
        for number, function in enumerate(["front-right-minus", "amplifier-trigger", "unknown"])
    )
    head = f"connector: {name}\ntitle: x\nside: extra\nsource: x\npins:\n"
    long.write_text(f"{head}{pins}\n", encoding="utf-8")
    result = run("splice-plan", "long.yaml", VEHICLE, RECEIVER, INTERFACE, AMPLIFIER, *CAPS)
    assert result.exit_code == Exit.REFUSED
    path = str(DEMO / "vehicle.yaml")  # one word, as long as the checkout has it
    lines = [line for line in result.stdout.splitlines() if path not in line]
    assert max(map(len, lines)) == 80
    assert f"{name} PIN00000" in result.stdout


def test_the_json_is_plain_and_says_the_same(run: Run) -> None:
    result = run("splice-plan", VEHICLE, RECEIVER, INTERFACE, "--json", *CAPS)
    assert result.exit_code == Exit.REFUSED
    told = json.loads(result.stdout)
    assert list(told) == ["connectors", "joins", "left_over", "problems"]
    first = told["joins"][0]
    assert (first["id"], first["function"]) == ("constant-feed", "constant-feed")
    assert [lead["id"] for lead in first["leads"]] == ["vehicle-1", "receiver-9", "interface-1"]
    assert first["leads"][0]["area_mm2"] == 1.5
    assert first["leads"][1]["awg"] == "16"
    assert first["cap"]["name"] == "grey"
    [problem] = told["problems"]
    assert (problem["kind"], problem["line"]) == ("unknown", 18)
    assert problem["how"]
    assert all(each["why"] for each in told["left_over"])


def test_the_order_of_the_files_does_not_matter(run: Run) -> None:
    one = run("splice-plan", VEHICLE, RECEIVER, INTERFACE)
    assert run("splice-plan", INTERFACE, VEHICLE, RECEIVER).stdout == one.stdout


def test_the_caps_of_the_shop_are_taken_unless_others_are_typed(
    run: Run, shop_folder: Path
) -> None:
    with (shop_folder / "shop.yaml").open("a", encoding="utf-8") as file:
        file.write("\ncaps:\n  - green 1000-20000\n")
    assert "cap: green. " in run("splice-plan", VEHICLE, RECEIVER).stdout
    assert "cap: small. " in run("splice-plan", VEHICLE, RECEIVER, *CAPS).stdout


def test_no_shop_is_made_for_a_plan(run: Run, tmp_path: Path) -> None:
    run("splice-plan", VEHICLE, RECEIVER, "--shop", str(tmp_path / "none"))
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((VEHICLE,), "One connector joins nothing."),
        ((VEHICLE, RECEIVER, "--caps", "grey"), "“grey” is no cap."),
        ((VEHICLE, RECEIVER, "--caps", ""), "“” is no cap."),
        ((VEHICLE, "nowhere.yaml"), "There is no file nowhere.yaml."),
        ((VEHICLE, "bad\0name"), "That is no file name."),
        ((VEHICLE, VEHICLE), f"{VEHICLE}:2:12: A connector “vehicle” stands in"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_line(
    run: Run, words: tuple[str, ...], told: str
) -> None:
    result = run("splice-plan", *words)
    assert (result.exit_code, result.stdout) == (Exit.UNUSABLE, "")
    assert result.stderr.startswith(told)
    assert result.stderr.count("\n") == 1


def test_check_reads_a_connector(run: Run, tmp_path: Path) -> None:
    assert run("check", VEHICLE).exit_code == Exit.DONE
    (tmp_path / "a.yaml").write_text(BAD, encoding="utf-8")
    result = run("check", "a.yaml")
    assert result.exit_code == Exit.REFUSED
    assert result.stdout.splitlines() == [
        "a.yaml:6:25: “grund” is no function of a lead. Did you mean ground?",
        "a.yaml:7:41: “blak” is no colour known here. Did you mean black?",
    ]


def test_everything_wrong_with_the_files_is_told_at_once(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(BAD, encoding="utf-8")
    (tmp_path / "b.yaml").write_text("connector: b\n", encoding="utf-8")
    result = run("splice-plan", "a.yaml", "b.yaml", "nowhere.yaml")
    assert (result.exit_code, result.stdout) == (Exit.UNUSABLE, "")
    lines = result.stderr.splitlines()
    assert lines[0].startswith("There is no file nowhere.yaml.")
    assert lines[1] == ("a.yaml:6:25: “grund” is no function of a lead. Did you mean ground?")
    assert lines[2] == "a.yaml:7:41: “blak” is no colour known here. Did you mean black?"
    assert all(line.startswith("b.yaml:1:") for line in lines[3:])
    assert len(lines) == 7


def test_hostile_words_on_the_command_line_come_out_clean(run: Run) -> None:
    result = run("splice-plan", VEHICLE, RECEIVER, "--caps", "\x1b[31m\u202egrey")
    assert result.exit_code == Exit.UNUSABLE
    assert result.stderr.strip().isprintable()


def test_the_schema_of_a_connector_is_printed(run: Run) -> None:
    result = run("schema", "connector")
    assert result.exit_code == Exit.DONE
    assert json.loads(result.stdout)["$id"] == "urn:baycompanion:schema:connector"
