"""The staff by command: the first supervisor, and every change on a supervisor's word."""

import json
import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from bay import keys_in
from click.testing import CliRunner, Result

from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.store.job.folder import make_job
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import open_shop
from baycompanion.store.staff.pin_tries import NAME as TRIES
from baycompanion.store.staff.staff_log import NAME as LOG
from baycompanion.store.staff.staff_log import read_staff_log
from baycompanion.store.staff.taking import take_keys
from baycompanion.store.trouble import StoreTrouble

PIN = "4711"
Piped = Callable[..., Result]


@pytest.fixture
def piped() -> Piped:
    """Return what types `staff` and a command line at it, with these lines in the pipe."""

    def typed(*words: str, lines: tuple[str, ...] = ()) -> Result:
        given = "".join(f"{line}\n" for line in lines)
        result = CliRunner().invoke(cli, ["staff", *words], input=given)
        assert not set(lines) & set((result.stdout + result.stderr).split()), "no PIN is repeated"
        return result

    return typed


@pytest.fixture
def first(piped: Piped) -> Piped:
    """Return the same, once the shop has its first supervisor, M1 with the PIN 4711."""
    assert piped("add", "M1", "--role", "supervisor", lines=(PIN, PIN)).exit_code == Exit.DONE
    return piped


def test_the_first_run_makes_the_first_supervisor_and_says_so(
    piped: Piped, shop_folder: Path
) -> None:
    result = piped("add", "M1", "--role", "supervisor", "--initials", "MK", lines=(PIN, PIN))
    assert (result.exit_code, result.stdout) == (Exit.DONE, "M1 is on the staff as supervisor.\n")
    assert result.stderr == ("This shop has no supervisor with a PIN yet: M1 becomes the first.\n")
    member = open_shop(shop_folder).members["M1"]
    assert (member.role, member.initials, member.active) == ("supervisor", "MK", True)
    assert member.pin is not None


def test_who_retires_with_jobs_in_hand_leaves_none_that_nobody_knows_of(
    first: Piped, shop_folder: Path
) -> None:
    shop = open_shop(shop_folder)
    lamp = read_procedure(find_procedure("lamp", shop.procedures))
    for order, by, mentor in (("WO 1", "T1", None), ("WO 2", "T2", "T1"), ("WO 3", "T2", None)):
        keys = keys_in(order, who=shop.person(by), mentor=mentor)
        make_job(shop.jobs, lamp, keys)
    result = first("retire", "T1", "--by", "M1", lines=(PIN,))
    assert (result.exit_code, result.stdout) == (Exit.DONE, "T1 is retired.\n")
    of_two, of_one = result.stderr.splitlines()
    assert of_one.startswith("T1 still has the job ")
    assert of_one.endswith(" (WO 1, Blue van). A supervisor takes it over.")
    assert of_two.startswith("T1 still stands beside T2 in the job ")
    assert of_two.endswith(" (WO 2, Blue van). Hand it over with another mentor.")


@pytest.mark.parametrize(
    "words",
    [
        ("add", "T9", "--role", "technician"),
        ("release", "T1", "--all"),
        ("retire", "T1"),
        ("pin", "T1"),
    ],
    ids=" ".join,
)
def test_before_there_is_a_supervisor_with_a_pin_nothing_else_is_done(
    piped: Piped, shop_folder: Path, words: tuple[str, ...]
) -> None:
    before = (shop_folder / "staff.yaml").read_bytes()
    result = piped(*words, lines=(PIN, PIN, PIN))
    assert result.exit_code == Exit.TROUBLE
    assert result.stderr == (
        "This shop has no supervisor with a PIN yet. Make the first: baycompanion staff add ID "
        "--role supervisor, or baycompanion staff pin S1.\n"
    )
    assert (shop_folder / "staff.yaml").read_bytes() == before


def test_a_supervisor_written_by_hand_becomes_the_first_by_a_pin(piped: Piped) -> None:
    result = piped("pin", "s1", lines=(PIN, PIN))
    assert (result.exit_code, result.stdout) == (Exit.DONE, "S1 has a new PIN.\n")
    assert "S1 becomes the first" in result.stderr
    assert piped("retire", "T1", "--by", "S1", lines=(PIN,)).exit_code == Exit.DONE


def test_from_then_on_a_change_needs_the_word_of_a_supervisor(
    first: Piped, shop_folder: Path
) -> None:
    added = first("add", "T9", "--role", "trainee", lines=("m1", PIN, "8055", "8055"))
    assert added.stdout == "T9 is on the staff as trainee.\n"
    released = first("release", "t9", "lamp", "receiver-swap", "lamp", "--by", "M1", lines=(PIN,))
    assert released.stdout == "T9 is released for lamp, receiver-swap.\n"
    assert open_shop(shop_folder).members["T9"].released_for == ("lamp", "receiver-swap")
    every = first("release", "T9", "--all", "--by", "M1", lines=(PIN,))
    assert every.stdout == "T9 is released for every procedure.\n"
    assert open_shop(shop_folder).members["T9"].released_for is None
    assert first("retire", "T9", "--by", "M1", lines=(PIN,)).stdout == "T9 is retired.\n"
    assert [(event.by, event.kind) for event in read_staff_log(shop_folder / LOG).events] == [
        ("M1", kind) for kind in ("added", "added", "released", "released", "retired")
    ]


@pytest.mark.parametrize(
    ("by", "pin", "code", "said"),
    [
        ("M1", "9172", Exit.TROUBLE, "That is not the PIN of M1. 2 more tries without a wait.\n"),
        ("S1", PIN, Exit.TROUBLE, "S1 is no supervisor with a PIN, and cannot change the staff. "),
        ("T1", PIN, Exit.TROUBLE, "T1 is no supervisor with a PIN, and cannot change the staff. "),
        ("X1", PIN, Exit.TROUBLE, "“X1” is not on the staff of this shop."),
        ("../M1", PIN, Exit.TROUBLE, "“../M1” is not on the staff of this shop."),
    ],
)
def test_no_other_word_changes_the_staff(
    first: Piped, shop_folder: Path, by: str, pin: str, code: Exit, said: str
) -> None:
    before = (shop_folder / "staff.yaml").read_bytes()
    result = first("retire", "T1", "--by", by, lines=(pin,))
    assert (result.exit_code, result.stdout) == (code, "")
    assert result.stderr.startswith(said)
    assert (shop_folder / "staff.yaml").read_bytes() == before


def test_wrong_pins_wait_here_too(first: Piped) -> None:
    for _ in range(3):
        first("retire", "T1", "--by", "M1", lines=("9172",))
    result = first("retire", "T1", "--by", "M1", lines=(PIN,))
    assert result.stderr in {f"Wait {left} s before the next try.\n" for left in range(1, 6)}


def test_the_last_supervisor_stays(first: Piped) -> None:
    result = first("retire", "M1", "--by", "M1", lines=(PIN,))
    assert result.exit_code == Exit.TROUBLE
    assert result.stderr.startswith("M1 is the last supervisor with a PIN, so nobody could ")


def test_a_pin_is_changed_by_whoever_knows_it_or_by_a_supervisor(
    first: Piped, shop_folder: Path
) -> None:
    first("add", "T9", "--role", "trainee", "--by", "M1", lines=(PIN, "8055", "8055"))
    own = first("pin", "T9", "--by", "t9", lines=("8055", "6302", "6302"))
    assert own.stdout == "T9 has a new PIN.\n"
    for _ in range(4):
        first("pin", "T9", "--by", "T9", lines=("8055",))
    assert "t9" in (shop_folder / TRIES).read_text(encoding="utf-8")
    reset = first("pin", "T9", "--by", "M1", lines=(PIN, "7294", "7294"))
    assert reset.stdout == "T9 has a new PIN.\n"
    assert "t9" not in (shop_folder / TRIES).read_text(encoding="utf-8")
    refused = first("pin", "T1", "--by", "T1", lines=("7294", "7294"))
    assert refused.stderr.startswith("T1 is no supervisor with a PIN")


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ((), "New PIN of T9: nothing more was given. Pipe a line for each question."),
        (("8055",), "The same once more: nothing more was given."),
        (("8055", "8056"), "These two are not the same."),
        (("471", "471"), "A PIN is 4 to 12 digits and nothing else."),
        (("7777", "7777"), "A PIN of one digit repeated, or of digits in a row like 1234, is "),
    ],
)
def test_a_new_pin_from_a_pipe_is_good_and_twice_the_same(
    first: Piped, shop_folder: Path, lines: tuple[str, ...], said: str
) -> None:
    result = first("add", "T9", "--role", "trainee", "--by", "M1", lines=(PIN, *lines))
    assert result.exit_code == Exit.UNUSABLE
    assert result.stderr.startswith(said)
    assert result.stderr.count("\n") == 1
    assert "T9" not in open_shop(shop_folder).members


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "T 9", "--role", "trainee"), "“T 9” is no staff id. Write letters, digits and"),
        (("add", "../x", "--role", "trainee"), "“../x” is no staff id."),
        (("add", "T9\n", "--role", "trainee"), "“T9 ” is no staff id."),
        (("add", "\x1b[2J", "--role", "trainee"), "“�[2J” is no staff id."),
        (("add", "T" * 21, "--role", "trainee"), "is no staff id."),
        (("add", "", "--role", "trainee"), "“” is no staff id."),
        (("add", "T9", "--role", "boss"), "Invalid value for '--role': 'boss' is not one of"),
        (("add", "T9", "--role", "trainee", "--initials", " "), "Nothing is written here."),
        (("release", "T1"), "Name the procedures, or type --all for every one."),
        (("release", "T1", "lamp", "--all"), "Name the procedures, or type --all for every"),
        (("release", "T1", "lmap"), "There is no procedure “lmap”. Did you mean lamp?"),
        (("fade", "T1", "3"), "T1 is on the staff as technician; only a trainee's steps are shown"),
        (("fade", "T1", "100"), "“100” is no number of times. Write 0 for never, 1 to 99, or shop"),
        (("fade", "T1", "three"), "“three” is no number of times."),
        (("fade", "T1", "٣"), "“٣” is no number of times."),
        (("fade", "T1", "9" * 5000), "is no number of times."),
        (("fade", "T7", "3"), "“T7” is not on the staff of this shop."),
        (
            ("retire", "m1"),
            "M1 is the last supervisor with a PIN, so nobody could change the staff",
        ),
        (("retire", "T1 or 1=1"), "“T1 or 1=1” is not on the staff of this shop."),
    ],
)
def test_what_cannot_be_is_refused_before_any_pin_is_asked_for(
    first: Piped, shop_folder: Path, words: tuple[str, ...], said: str
) -> None:
    before = (shop_folder / "staff.yaml").read_bytes()
    result = first(*words, "--by", "M1")
    assert result.exit_code in (Exit.UNUSABLE, Exit.TROUBLE)
    assert said in result.stderr
    assert result.stderr.count("\n") == 1
    assert (shop_folder / "staff.yaml").read_bytes() == before


@pytest.mark.parametrize("who", ["M1", "m1", "T1"])
def test_no_id_is_given_twice(first: Piped, who: str) -> None:
    result = first("add", who, "--role", "trainee", "--by", "M1")  # before any PIN is asked for
    assert result.exit_code == Exit.TROUBLE
    assert result.stderr.endswith("staff.yaml already. Choose another id.\n")


def test_whoever_is_retired_can_be_had_back(first: Piped, shop_folder: Path) -> None:
    first("retire", "T1", "--by", "M1", lines=(PIN,))
    told = first("add", "t1", "--role", "trainee", "--by", "M1").stderr
    assert "already, and retired. Take “active: no” out of it there to have them back" in told
    file = shop_folder / "staff.yaml"
    written = file.read_text(encoding="utf-8")
    assert written.count(", active: no") == 1
    file.write_text(written.replace(", active: no", ""), encoding="utf-8")
    assert open_shop(shop_folder).staff["T1"].role == "technician"


def test_the_list_shows_everybody_and_no_kept_pin(first: Piped) -> None:
    first("release", "T1", "lamp", "--by", "M1", lines=(PIN,))
    first("retire", "T2", "--by", "M1", lines=(PIN,))
    shown = first("list").stdout
    assert shown.splitlines() == [
        "Id  Role        Initials  PIN  Standing  Short after  Released for",
        "T1  technician            no   active                 lamp",
        "T2  technician            no   retired                every procedure",
        "S1  supervisor            no   active                 every procedure",
        "M1  supervisor            yes  active                 every procedure",
    ]
    rows = json.loads(first("list", "--json").stdout)
    assert rows[0] == {
        "id": "T1",
        "role": "technician",
        "initials": None,
        "pin": False,
        "released_for": ["lamp"],
        "active": True,
        "releases": [],
        "fade_after": None,
    }
    assert [(row["id"], row["pin"], row["active"]) for row in rows[1:]] == [
        ("T2", False, False),
        ("S1", False, True),
        ("M1", True, True),
    ]


def test_the_remarks_of_a_file_by_hand_stay(first: Piped, shop_folder: Path) -> None:
    file = shop_folder / "staff.yaml"
    text = "# By the lockers\n" + file.read_text(encoding="utf-8") + "# the end\n"
    file.write_text(text, encoding="utf-8")
    first("add", "T9", "--role", "trainee", "--by", "M1", lines=(PIN, "8055", "8055"))
    now = file.read_text(encoding="utf-8").splitlines()
    rest = iter(now)
    assert all(line in rest for line in text.splitlines())
    assert len(now) == len(text.splitlines()) + 3


@pytest.mark.skipif(os.name == "nt", reason="a terminal of POSIX")
def test_in_a_terminal_pins_are_not_shown_and_asked_for_until_they_are_good(
    shop_folder: Path,
) -> None:
    from bare_terminal import BareTerminal

    command = [sys.executable, "-m", "baycompanion", "staff", "add", "M1", "--role", "supervisor"]
    with BareTerminal(command) as terminal:
        for asked, typed in (
            ("New PIN of M1: ", "1234\n"),
            ("guessed first.", ""),
            ("New PIN of M1: ", "4711\n"),
            ("The same once more: ", "4712\n"),
            ("not the same.", ""),
            ("New PIN of M1: ", "4711\n"),
            ("The same once more: ", "4711\n"),
            ("M1 is on the staff as supervisor.", ""),
        ):
            terminal.read_to(asked)
            terminal.send(typed)
        assert terminal.wait() == Exit.DONE
        assert b"4711" not in terminal.raw
    assert open_shop(shop_folder).members["M1"].pin is not None


SAID = {
    "1": "Steps are shown to T9 in fewer words after 1 time right in a row, and as their sentence "
    "alone after 2.",
    "5": "Steps are shown to T9 in fewer words after 5 times right in a row, and as their sentence "
    "alone after 10.",
    "0": "T9 is always shown every step in full.",
    "shop": "Steps are shown to T9 in fewer words after 3 times right in a row, and as their "
    "sentence alone after 6.",
}


def test_a_supervisor_sets_when_the_guidance_of_a_trainee_fades(
    first: Piped, shop_folder: Path
) -> None:
    first("add", "T9", "--role", "trainee", "--by", "M1", lines=(PIN, "8055", "8055"))
    for typed, said in SAID.items():
        result = first("fade", "T9", typed, "--by", "M1", lines=(PIN,))
        assert (result.exit_code, result.stdout) == (Exit.DONE, f"{said}\n")
        own = None if typed == "shop" else int(typed)
        shop = open_shop(shop_folder)
        assert shop.members["T9"].fade_after == own
        assert shop.fade_after_for("t9") == (3 if own is None else own)
        assert json.loads(first("list", "--json").stdout)[-1]["fade_after"] == own
        log = read_staff_log(shop_folder / LOG).events[-1]
        assert (log.kind, log.by) == ("guidance-set", "M1")
        assert log.as_dict()["data"] == {"who": "T9"} | ({} if own is None else {"times": own})
    assert "fade-after" not in (shop_folder / "staff.yaml").read_text(encoding="utf-8")


def test_a_trainee_who_is_released_is_told_to_need_a_mentor_all_the_same(
    first: Piped, shop_folder: Path
) -> None:
    first("add", "T9", "--role", "trainee", "--by", "M1", lines=(PIN, "8055", "8055"))
    released = first("release", "T9", "lamp", "--by", "M1", lines=(PIN,))
    assert (released.exit_code, released.stdout) == (Exit.DONE, "T9 is released for lamp.\n")
    assert "T9 is a trainee, and works beside a mentor all the same" in released.stderr
    assert "baycompanion staff sign-off T9 PROCEDURE --job JOB" in released.stderr
    with pytest.raises(StoreTrouble, match="mentor"):
        shop = open_shop(shop_folder)
        take_keys(shop, shop.person("T9"), ("lamp", 1), "", date(2026, 3, 2))
    technician = first("release", "T1", "lamp", "--by", "M1", lines=(PIN,))
    assert "mentor" not in technician.stderr


def test_nobody_sets_it_without_the_pin_of_a_supervisor(first: Piped, shop_folder: Path) -> None:
    first("add", "T9", "--role", "trainee", "--by", "M1", lines=(PIN, "8055", "8055"))
    before = (shop_folder / "staff.yaml").read_bytes()
    for by, pin in (("M1", "1470"), ("T9", "8055"), ("S1", PIN)):
        result = first("fade", "T9", "1", "--by", by, lines=(pin,))
        assert result.exit_code == Exit.TROUBLE and result.stderr.count("\n") == 1
    assert (shop_folder / "staff.yaml").read_bytes() == before


def test_the_list_shows_it(first: Piped) -> None:
    first("add", "T9", "--role", "trainee", "--by", "M1", lines=(PIN, "8055", "8055"))
    first("fade", "T9", "5", "--by", "M1", lines=(PIN,))
    row = first("list").stdout.splitlines()[-1]
    assert row == "T9  trainee               yes  active    5            beside a mentor"
    first("fade", "T9", "0", "--by", "M1", lines=(PIN,))
    assert "  active    never  " in first("list").stdout.splitlines()[-1]
