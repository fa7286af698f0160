"""`revise`: what a newer revision on the shelf changes in a job, told first and done on demand."""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from bay import LISTS, T1
from click.testing import Result
from lamp import PROCEDURE
from test_commands import begin, one_sentence

from baycompanion.exits import Exit
from baycompanion.job.actions import Abandon
from baycompanion.job.hands_actions import FindGap
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.open_job import OpenJob

Run = Callable[..., Result]


@pytest.fixture
def job(run: Run) -> str:
    """Return the name of a job that was just begun."""
    return begin(run)


@pytest.fixture
def newer(shop_folder: Path, job: str) -> str:
    """Put a newer revision on the shelf after the job was begun."""
    first = next(line for line in PROCEDURE.splitlines() if line.startswith("revision:"))
    text = PROCEDURE.replace(first, "revision: 9")
    assert "at-least: " in text
    text = text.replace("at-least: ", "at-least: 1")
    (shop_folder / "procedures" / "lamp.yaml").write_text(text, encoding="utf-8")
    return job


def followed(shop_folder: Path, job: str) -> int:
    return read_job(shop_folder / "jobs" / job).procedure.revision


def test_without_a_newer_revision_it_says_so(run: Run, job: str) -> None:
    told = one_sentence(run("revise", job), Exit.REFUSED)
    assert "there is no newer one" in told


def test_the_changes_are_listed_and_nothing_is_moved(
    run: Run, newer: str, shop_folder: Path
) -> None:
    """R55: a deliberate act."""
    before = followed(shop_folder, newer)
    result = run("revise", newer)
    assert result.exit_code == Exit.DONE
    assert "Asked otherwise than before:" in result.stdout
    assert "--why" in result.stderr
    assert followed(shop_folder, newer) == before != 9


STAYS = """\
standing:
  - standing: lamp-off
    says: The lamp stays off.
    begins: volts
    ends: lights
    ask: Was it off until now?
phases:
"""


def test_what_must_stay_true_and_what_stands_elsewhere_is_told_before_the_move(
    run: Run, job: str, shop_folder: Path
) -> None:
    """It said that nothing is done otherwise."""
    shown = "      - do: Show the owner the lamp.\n        id: shown\n"
    lights = "      - check: The lamp lights.\n"
    assert PROCEDURE.count(shown) == PROCEDURE.count(lights) == 1
    text = PROCEDURE.replace("revision: 2", "revision: 3").replace("phases:\n", STAYS)
    again = shown.replace("lamp.", "lamp once more.").replace("id: shown", "id: shown-again")
    text = text.replace(shown, again).replace(lights, shown + lights)
    (shop_folder / "procedures" / "lamp.yaml").write_text(text, encoding="utf-8")
    told = json.loads(run("revise", job, "--json").stdout)["changes"]
    assert told == {
        "Gates that are easier to get past than before": [
            "lamp-proved: no longer holds “4. Show the owner the lamp”."
        ],
        "What must stay true, otherwise than before": ["new: The lamp stays off. From 2 to 5."],
        "Steps that stand elsewhere now": ["4. Show the owner the lamp. It was 6."],
        "New steps": ["7. Show the owner the lamp once more."],
    }


def test_with_a_reason_the_job_goes_on_by_the_newer_revision(
    run: Run, newer: str, shop_folder: Path
) -> None:
    result = run("revise", newer, "--why", "the limit was wrong", "--json")
    assert result.exit_code == Exit.DONE
    told = json.loads(result.stdout)
    assert (told["moved"], told["revision"]) == (True, 9)
    assert followed(shop_folder, newer) == 9
    assert "no newer one" in one_sentence(run("revise", newer), Exit.REFUSED)


def test_a_newer_revision_with_a_mistake_moves_nothing(
    run: Run, newer: str, shop_folder: Path
) -> None:
    path = shop_folder / "procedures" / "lamp.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("of: [lights]", "of: [nowhere]"), encoding="utf-8")
    assert text != path.read_text(encoding="utf-8")
    for more in ((), ("--why", "w")):
        result = run("revise", newer, *more)
        assert result.exit_code == Exit.UNUSABLE
        assert "lamp.yaml:" in result.stderr
        assert result.stdout == ""
    assert followed(shop_folder, newer) != 9


def test_somebody_else_cannot_move_the_job(run: Run, newer: str, shop_folder: Path) -> None:
    told = one_sentence(run("revise", newer, "--why", "w", "--by", "T2"), Exit.REFUSED)
    assert "Only T1 or a supervisor" in told
    assert followed(shop_folder, newer) != 9


def test_a_job_that_was_left_says_what_comes_first(run: Run, newer: str, shop_folder: Path) -> None:
    """It said “only while somebody is at work on it. [Resume it first.]” of an open job."""
    opened = OpenJob(shop_folder / "jobs" / newer, LISTS, T1, datetime.now(UTC))
    opened.act(FindGap(gap="left", seconds=60), T1, datetime.now(UTC) + timedelta(minutes=1))
    opened.leave()
    assert one_sentence(run("revise", newer, "--why", "w"), Exit.REFUSED) == (
        "The job goes on by a newer revision once somebody has said what the time since its last "
        "entry was. Resume it, and say so."
    )


def test_a_job_that_has_ended_goes_on_by_nothing(run: Run, newer: str, shop_folder: Path) -> None:
    opened = OpenJob(shop_folder / "jobs" / newer, LISTS, T1, datetime.now(UTC))
    opened.act(Abandon(abandon="the owner took the van"), T1, datetime.now(UTC))
    opened.leave()
    assert "abandoned" in one_sentence(run("revise", newer), Exit.REFUSED)


def test_an_empty_reason_is_no_reason(run: Run, newer: str, shop_folder: Path) -> None:
    assert "why" in one_sentence(run("revise", newer, "--why", ""), Exit.REFUSED)
    assert followed(shop_folder, newer) != 9


def test_a_gate_that_got_weaker_is_told_first(run: Run, job: str, shop_folder: Path) -> None:
    first = next(line for line in PROCEDURE.splitlines() if line.startswith("revision:"))
    text = PROCEDURE.replace(first, "revision: 9").replace("      - no-open-fault: work\n", "")
    (shop_folder / "procedures" / "lamp.yaml").write_text(text, encoding="utf-8")
    told = run("revise", job).stdout.splitlines()
    assert told[1] == "Gates that are easier to get past than before:"
    assert told[2].startswith("  lamp-proved: opens now while this is missing: the clearing of a ")
