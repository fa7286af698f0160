"""Signing off, taking back and looking at trainees by command."""

import json
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from freezegun import freeze_time
from signed_off import PIN, STAFF, lamp_by

from baycompanion.cli import cli
from baycompanion.exits import Exit
from baycompanion.store.shop import Shop, open_shop

Piped = Callable[..., Result]


@pytest.fixture
def shop(shop_folder: Path) -> Shop:
    """Return the shop with two trainees, and a lamp job of N1 beside T1."""
    (shop_folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    shop = open_shop(shop_folder)
    lamp_by(shop)
    return shop


def piped(*words: str, lines: tuple[str, ...] = ()) -> Result:
    result = CliRunner().invoke(cli, list(words), input="".join(f"{line}\n" for line in lines))
    assert PIN not in result.stdout + result.stderr, "no PIN is repeated"
    return result


SIGN = ("staff", "sign-off", "n1", "lamp", "--job", "WO 7")
UNTIL = date.today() + timedelta(days=30)


def test_a_release_by_command_is_listed_and_lets_the_keys_be_taken_alone(shop: Shop) -> None:
    start = ("start", "lamp", "--work-order", "WO 9", "--vehicle", "van", "--by", "N1")
    alone = piped(*start)
    assert alone.exit_code == Exit.TROUBLE
    assert alone.stderr == (
        "N1 is a trainee, and works beside a mentor. Name one with --mentor. "
        "There is no release for lamp.\n"
    )
    result = piped(*SIGN, "--until", f"{UNTIL}", lines=("S1", PIN))
    assert (result.exit_code, result.stdout) == (
        Exit.DONE,
        f"N1 may do lamp revision 2 without a mentor until {UNTIL}.\n",
    )
    assert f"lamp revision 2 until {UNTIL}" in piped("staff", "list").stdout
    with freeze_time(f"{UNTIL} 12:00", tick=True):
        assert f"lamp revision 2 until {UNTIL}" in piped("staff", "list").stdout
    with freeze_time(f"{UNTIL + timedelta(days=1)} 12:00", tick=True):
        assert f"lamp revision 2 lapsed, last day {UNTIL}" in piped("staff", "list").stdout
    rows = json.loads(piped("staff", "list", "--json").stdout)
    assert [each["releases"] for each in rows if each["id"] == "N1"] == [
        [
            {
                "procedure": "lamp",
                "revision": 2,
                "by": "S1",
                "job": "20260302-wo-7",
                "until": f"{UNTIL}",
            }
        ]
    ]
    assert piped(*start).exit_code == Exit.DONE
    back = piped("staff", "take-back", "N1", "lamp", "--by", "S2", lines=(PIN,))
    assert (back.exit_code, back.stdout) == (Exit.DONE, "N1 does lamp beside a mentor again.\n")
    assert piped(*start).exit_code == Exit.TROUBLE
    assert "Without a mentor" not in piped("staff", "list").stdout


def test_a_release_for_an_older_revision_is_not_listed_as_in_force(shop: Shop) -> None:
    piped(*SIGN, "--until", f"{UNTIL}", lines=("S1", PIN))
    file = shop.procedures / "lamp.yaml"
    newer = file.read_text(encoding="utf-8").replace("revision: 2", "revision: 3")
    file.write_text(newer, encoding="utf-8")
    told = piped("staff", "list").stdout
    assert f"lamp revision 2 until {UNTIL} (not in force: the shelf has 3)" in told
    file.unlink()
    assert "not in force" not in piped("staff", "list").stdout


@pytest.mark.parametrize(
    ("words", "lines", "code", "said"),
    [
        ((*SIGN, "--by", "S1"), ("9999",), Exit.TROUBLE, "That is not the PIN of S1."),
        ((*SIGN, "--by", "S1", "--until", "soon"), (), Exit.UNUSABLE, "“soon” is no day."),
        ((*SIGN, "--by", "T1"), (PIN,), Exit.TROUBLE, "T1 is a technician; this is for superv"),
        ((*SIGN, "--by", "S2"), (PIN,), Exit.TROUBLE, "S2 stands in 20260302-wo-7 neither as"),
        ((*SIGN, "--by", "S2"), (), Exit.TROUBLE, 'what you watched, by --watched "…".'),
        ((*SIGN[:4], "--by", "S1"), (PIN,), Exit.UNUSABLE, "Missing option '--job'"),
        ((*SIGN[:-1], "WO 8", "--by", "S1"), (PIN,), Exit.TROUBLE, "WO 8"),
        (("staff", "take-back", "N1", "lamp"), ("S1", PIN), Exit.TROUBLE, "N1 has no release for"),
        (("trainees", "T1"), ("S1", PIN), Exit.TROUBLE, "T1 is a technician, and needs no sign"),
        (("trainees", "--by", "T1"), (), Exit.TROUBLE, "T1 is a technician; this is for superv"),
        (("trainees", "--by", "S1"), ("9999",), Exit.TROUBLE, "That is not the PIN of S1."),
        (("trainees", "--procedure", "lump", "--by", "S3"), (), Exit.TROUBLE, "There is no proc"),
        (("trainees", "--plain", "--json"), (), Exit.UNUSABLE, "--plain and --json do not go"),
    ],
)
def test_what_cannot_be_is_one_sentence_and_changes_nothing(
    shop: Shop, words: tuple[str, ...], lines: tuple[str, ...], code: Exit, said: str
) -> None:
    before = (shop.folder / "staff.yaml").read_bytes()
    result = piped(*words, lines=lines)
    assert (result.exit_code, result.stdout) == (code, "")
    assert said in result.stderr
    assert (shop.folder / "staff.yaml").read_bytes() == before


def test_words_stand_for_a_name_in_the_job(shop: Shop) -> None:
    words = ("--watched", "from the door, all of it", "--by", "S2")
    assert piped(*SIGN, *words, lines=(PIN,)).exit_code == Exit.DONE


def test_a_supervisor_reads_how_trainees_stand(shop: Shop) -> None:
    told = piped("trainees", "n1", "--by", "S1", lines=(PIN,))
    assert told.exit_code == Exit.DONE
    assert "Watched jobs: 1 by revision 2. The newest is 20260302-wo-7." in told.stdout
    assert "Times: not compared. Others closed 0 jobs by revision 2; it takes 8." in told.stdout
    everybody = piped("trainees", "--by", "S3").stdout
    assert "N2\nNo drill, no practice, no job and no release so far.\n" in everybody
    [standing] = json.loads(
        piped("trainees", "N1", "--procedure", "lamp", "--json", "--by", "S3").stdout
    )
    assert (standing["who"], standing["procedure"], standing["in_force"]) == ("N1", "lamp", False)
    assert standing["supervised"]["jobs"] == ["20260302-wo-7"]
    assert standing["drill"] is None


def test_the_supervisor_who_is_named_is_not_asked_for_line_by_line_either(shop: Shop) -> None:
    told = piped("trainees", "--plain", "--by", "S1", lines=(PIN, "", "quit"))
    assert "Staff id (supervisor) (Enter keeps “S1”; ?back leaves):" in told.stdout
    assert "N1:" in told.stdout.splitlines()


def test_a_pipe_that_ends_is_told(shop: Shop) -> None:
    result = piped("trainees")
    assert result.exit_code == Exit.UNUSABLE
    assert "Id of a supervisor: nothing more was given" in result.stderr
