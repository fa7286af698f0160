"""The ledger: an entry for each job that has ended, tied to the one before, whatever happens."""

import errno
import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from bay import START, T1, T2, keys_in, load_small
from filelock import FileLock
from on_disk import act, last_moment, open_up, walked_on_disk
from second_person import ALONE, FOUND, TOOLS, load_second, seen
from test_refusing_disk import failing_call
from test_released_for_now import ONE_MAN

from baycompanion.job.actions import (
    Abandon,
    Accept,
    Answer,
    Close,
    Note,
)
from baycompanion.store import turn
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.journal import NAME as JOURNAL
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.ledger.entering import enter_missing
from baycompanion.store.ledger.entry import LedgerBegun, Sealed
from baycompanion.store.ledger.ledger import NAME, Ledger, held_ledger
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.working.board.entering import mend_ledger

OLDER = Path(__file__).parent / "older-job"


def entries(shop: Path) -> list[dict[str, Any]]:
    """Return the lines of a ledger, read without any code under test; see that its chain holds.

    The canonical form is that of the library rfc8785, the hash that of the standard library.
    """
    content = (shop / NAME).read_bytes()
    assert content.endswith(b"\n")
    lines = [json.loads(line) for line in content.splitlines()]
    prev = "0" * 64
    for number, line in enumerate(lines, 1):
        bare = {name: value for name, value in line.items() if name != "hash"}
        assert (line["seq"], line["prev"]) == (number, prev)
        assert line["hash"] == hashlib.sha256(rfc8785.dumps(bare)).hexdigest()
        prev = line["hash"]
    assert b"".join(rfc8785.dumps(line) + b"\n" for line in lines) == content
    return lines


def close(folder: Path) -> None:
    """Walk the job in `folder` to its end, and close it."""
    walked_on_disk(folder, None)
    job = open_up(folder)
    act(job, Close(close="keys back"))
    job.leave()


def abandoned(shop: Shop, work_order: str) -> Path:
    """Return the folder of a job that was begun and given up."""
    folder = make_job(shop.jobs, load_small(), keys_in(work_order))
    job = OpenJob(folder, ONE_MAN, T1, START)
    act(job, Abandon(abandon="the owner took the van"))
    job.leave()
    return folder


def test_a_job_that_closes_is_entered_with_all_that_vouches_for_it(
    shop: Shop, folder: Path
) -> None:
    close(folder)
    journal = [json.loads(line) for line in (folder / JOURNAL).read_bytes().splitlines()]
    begun, entry = entries(shop.folder)
    assert (begun["kind"], begun["data"]) == ("begun", {"format": 1})
    assert (entry["kind"], entry["by"], entry["at"]) == ("ended", "T1", journal[-1]["at"])
    assert entry["data"] == {
        "job": folder.name,
        "procedure": "small-receiver",
        "revision": journal[0]["data"]["revision"],
        "status": "closed",
        "events": len(journal),
        "head": journal[-1]["hash"],
        "record": hashlib.sha256((folder / "record.json").read_bytes()).hexdigest(),
    }


def test_jobs_that_end_one_after_another_make_one_chain(shop: Shop, folder: Path) -> None:
    assert not (shop.folder / NAME).exists()
    first = abandoned(shop, "A 1")
    close(folder)
    second = abandoned(shop, "A 2")
    told = [(line["data"]["job"], line["data"]["status"]) for line in entries(shop.folder)[1:]]
    assert told == [
        (first.name, "abandoned"),
        (folder.name, "closed"),
        (second.name, "abandoned"),
    ]


def test_a_job_under_way_is_not_entered(shop: Shop, folder: Path) -> None:
    job = open_up(folder)
    act(job, Accept(accept="hazards"), Note(note="the word closed stands here"))
    job.leave()
    enter_missing(shop.folder, START)
    assert not (shop.folder / NAME).exists()


def test_a_job_opened_again_after_its_end_is_not_entered_twice(shop: Shop, folder: Path) -> None:
    close(folder)
    before = (shop.folder / NAME).read_bytes()
    open_up(folder).leave()
    enter_missing(shop.folder, START)
    assert (shop.folder / NAME).read_bytes() == before


def test_a_job_that_grows_after_its_end_is_entered_once_more_and_names_the_earlier_entry(
    shop: Shop,
) -> None:
    """R51: the second person looks at what was released for now."""
    folder = make_job(shop.jobs, load_second(), keys_in("WO 8"))
    job = OpenJob(folder, ONE_MAN, T1, START)
    alone = (ALONE, Answer(answer="noted"), Answer(answer="keys"), Close(close="keys back"))
    act(job, Accept(accept="hazards"), *TOOLS, *FOUND, *alone)
    act(job, seen(), who=T2)
    job.leave()
    _, first, again = entries(shop.folder)
    assert (first["by"], again["by"]) == ("T1", "T2")
    assert "follows" not in first["data"]
    assert again["data"]["follows"] == first["seq"] == 2
    assert again["data"]["events"] == first["data"]["events"] + 1
    assert again["data"]["head"] == job.state.head != first["data"]["head"]
    record = hashlib.sha256((folder / "record.json").read_bytes()).hexdigest()
    assert again["data"]["record"] == record != first["data"]["record"]


def test_a_folder_that_lies_in_no_shop_has_no_ledger(tmp_path: Path) -> None:
    folder = shutil.copytree(OLDER, tmp_path / "elsewhere" / "job-1")
    job = open_up(folder)
    act(job, Close(close="keys back"))
    job.leave()
    assert not list(tmp_path.rglob("ledger*"))


# --- what a crash or a disk can do ------------------------------------------------------------


def cut_off_entry(shop: Shop) -> bytes:
    """Take the last entry off, as if the program had died before it; return the whole ledger."""
    content = (shop.folder / NAME).read_bytes()
    (shop.folder / NAME).write_bytes(b"".join(content.splitlines(keepends=True)[:-1]))
    return content


def by_the_job(shop: Shop, folder: Path) -> None:
    open_up(folder, after=-0.0).leave()


def by_the_board(shop: Shop, folder: Path) -> None:
    assert mend_ledger(shop, last_moment(folder)) == ""


@pytest.mark.parametrize("mend", [by_the_job, by_the_board])
@pytest.mark.parametrize("record", [True, False])
def test_a_crash_between_the_end_and_the_entry_is_mended_on_the_next_opening(
    shop: Shop, folder: Path, mend: Callable[[Shop, Path], None], record: bool
) -> None:
    abandoned(shop, "A 1")
    close(folder)
    whole = cut_off_entry(shop)
    if not record:
        (folder / "record.json").unlink()
    for _ in range(2):
        mend(shop, folder)
        assert (shop.folder / NAME).read_bytes() == whole
    assert (folder / "record.json").is_file()


def test_the_board_leaves_a_job_that_somebody_holds_for_the_next_time(
    shop: Shop, folder: Path
) -> None:
    abandoned(shop, "A 1")
    close(folder)
    whole = cut_off_entry(shop)
    with FileLock(folder / "lock"):
        by_the_board(shop, folder)
        assert len(entries(shop.folder)) == 2
    by_the_board(shop, folder)
    assert (shop.folder / NAME).read_bytes() == whole


def test_a_torn_last_line_is_set_aside_and_the_chain_goes_on(shop: Shop, folder: Path) -> None:
    abandoned(shop, "A 1")
    with (shop.folder / NAME).open("ab") as file:
        file.write(b'{"at":"2026')
    close(folder)
    assert [line["kind"] for line in entries(shop.folder)] == ["begun", "ended", "ended"]
    assert (shop.folder / "ledger.torn").read_bytes() == b'{"at":"2026\n'


@pytest.mark.parametrize("call", [(os, "fsync"), (Path, "open")], ids=["fsync", "open"])
def test_a_ledger_that_cannot_be_written_does_not_lose_the_close(
    shop: Shop, folder: Path, monkeypatch: pytest.MonkeyPatch, call: tuple[object, str]
) -> None:
    abandoned(shop, "A 1")
    before = (shop.folder / NAME).read_bytes()
    walked_on_disk(folder, None)
    job = open_up(folder)
    enter = Ledger.append

    def refusing(*given: Any) -> Any:
        with failing_call(monkeypatch, *call, errno.ENOSPC):
            return enter(*given)

    with monkeypatch.context() as patched:
        patched.setattr(Ledger, "append", refusing)
        with pytest.raises(StoreTrouble) as trouble:
            act(job, Close(close="keys back"))
    assert str(trouble.value) == (
        f"The job is closed, but not entered in the ledger: {shop.folder / NAME} cannot be "
        "written: no space left on device. "
        "It is entered when the board or the job is opened again."
    )
    assert job.state.status == "closed"
    job.leave()
    assert (folder / "record.json").is_file()
    assert (shop.folder / NAME).read_bytes() == before
    open_up(folder).leave()
    assert entries(shop.folder)[-1]["data"]["job"] == folder.name


def test_an_older_entry_that_was_changed_keeps_nobody_from_closing(
    shop: Shop, folder: Path
) -> None:
    """The audit names it; until then the chain goes on from its end."""
    abandoned(shop, "A 1")
    abandoned(shop, "A 2")
    content = (shop.folder / NAME).read_bytes().replace(b"a-1", b"a-9")
    (shop.folder / NAME).write_bytes(content)
    close(folder)
    lines = (shop.folder / NAME).read_bytes().splitlines()
    assert len(lines) == 4
    assert json.loads(lines[3])["prev"] == json.loads(lines[2])["hash"]


@pytest.mark.parametrize(
    ("damage", "what"),
    [
        (lambda line: line.replace(b"a-1", b"a-9"), "It was changed after it was written"),
        (lambda line: line + b"\n" + b"x" * 70_000, "The last line is no JSON"),
        (lambda line: b"x" * 700, "The last line is no JSON"),
        (lambda line: b"[]", "This is no entry of a ledger"),
        (lambda line: line.replace(b'"ended"', b'"endet"'), "Its kind is not known here"),
    ],
)
def test_nothing_is_tied_to_a_last_entry_that_was_damaged(
    shop: Shop, folder: Path, damage: Callable[[bytes], bytes], what: str
) -> None:
    abandoned(shop, "A 1")
    first, last = (shop.folder / NAME).read_bytes().splitlines()
    (shop.folder / NAME).write_bytes(first + b"\n" + damage(last) + b"\n")
    before = (shop.folder / NAME).read_bytes()
    walked_on_disk(folder, None)
    job = open_up(folder)
    with pytest.raises(StoreTrouble) as trouble:
        act(job, Close(close="keys back"))
    assert f"last line: {what}" in str(trouble.value)
    assert "Once it is renamed, a new one is begun." in str(trouble.value)
    assert (shop.folder / NAME).read_bytes() == before
    job.leave()
    assert "not in the ledger yet" in mend_ledger(shop, START)
    (shop.folder / NAME).rename(shop.folder / "ledger-damaged.jsonl")
    assert mend_ledger(shop, last_moment(folder)) == ""
    assert {line["kind"] for line in entries(shop.folder)[1:]} <= {"ended", "enrolled"}
    assert len(entries(shop.folder)) == 3


def test_an_end_too_long_for_an_entry_is_not_cut_off(shop: Shop) -> None:
    abandoned(shop, "A 1")
    with (shop.folder / NAME).open("ab") as file:
        file.write(b"x" * 70_000)
    before = (shop.folder / NAME).read_bytes()
    with pytest.raises(StoreTrouble, match="Its end is no entry"), held_ledger(shop.folder):
        pytest.fail("it was opened")
    assert (shop.folder / NAME).read_bytes() == before


def test_a_ledger_that_another_window_holds_is_told(
    shop: Shop, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turn, "PATIENCE", 0.05)
    walked_on_disk(folder, None)
    job = open_up(folder)
    held = FileLock(shop.folder / f".{NAME}.lock")
    with held, pytest.raises(StoreTrouble, match="in use in another window"):
        act(job, Close(close="keys back"))
    job.leave()
    open_up(folder).leave()
    assert entries(shop.folder)[-1]["data"]["job"] == folder.name


# --- what was there before --------------------------------------------------------------------


def test_jobs_that_an_older_version_ended_are_enrolled_when_the_ledger_begins(
    shop: Shop, folder: Path
) -> None:
    older = shutil.copytree(OLDER, shop.jobs / "job-1")
    job = open_up(older)
    act(job, Close(close="keys back"))
    job.leave()
    (shop.folder / NAME).unlink()  # an older version knew none
    close(folder)
    begun, enrolled, ended = entries(shop.folder)
    assert [line["kind"] for line in (begun, enrolled, ended)] == ["begun", "enrolled", "ended"]
    assert (enrolled["data"]["job"], ended["data"]["job"]) == ("job-1", folder.name)
    assert enrolled["data"]["head"] == job.state.head
    assert enrolled["at"] == ended["at"], "when it was entered, not when it ended"
    by_the_board(shop, folder)
    assert len(entries(shop.folder)) == 3


def test_a_job_that_cannot_be_read_keeps_no_other_from_being_enrolled(
    shop: Shop, folder: Path
) -> None:
    broken = abandoned(shop, "A 1")
    good = abandoned(shop, "A 2")
    (shop.folder / NAME).unlink()
    content = (broken / JOURNAL).read_bytes()
    (broken / JOURNAL).write_bytes(b"x" + content)
    enter_missing(shop.folder, START)
    assert [line["data"].get("job") for line in entries(shop.folder)[1:]] == [good.name]


# --- two at once --------------------------------------------------------------------------------

ENDS_SOME = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from bay import LISTS, START, T1, keys_in, load_small
from baycompanion.job.actions import Abandon
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
for number in range(6):
    name = f"{sys.argv[2]} {number}"
    folder = make_job(Path(sys.argv[1]), load_small(), keys_in(name))
    job = OpenJob(folder, LISTS, T1, START)
    job.act(Abandon(abandon="the owner took the van"), T1, START)
    job.leave()
"""


def test_two_laptops_that_end_jobs_at_once_keep_the_chain_whole(shop: Shop) -> None:
    path = os.pathsep.join([str(Path(__file__).parents[1]), *sys.path])
    both = [
        subprocess.Popen(
            [sys.executable, "-c", ENDS_SOME, str(shop.jobs), laptop],
            env={**os.environ, "PYTHONPATH": path},
        )
        for laptop in ("left", "right")
    ]
    assert [one.wait(timeout=120) for one in both] == [0, 0]
    jobs = [line["data"]["job"] for line in entries(shop.folder)[1:]]
    assert sorted(jobs) == sorted(path.name for path in shop.jobs.iterdir())
    assert len(jobs) == 12


# --- other entries ------------------------------------------------------------------------------


def test_the_first_entry_says_that_the_ledger_begins_whatever_is_appended(shop: Shop) -> None:
    with held_ledger(shop.folder) as ledger:
        entry = ledger.append(Sealed(key="ab" * 32, signature="cd" * 64), "S1", START)
        assert ledger.last == entry
    assert [line["kind"] for line in entries(shop.folder)] == ["begun", "sealed"]


def test_a_ledger_of_a_newer_format_is_not_gone_on_with(shop: Shop) -> None:
    with held_ledger(shop.folder) as ledger:
        ledger.append(LedgerBegun(format=2), "S1", START)
    with (
        pytest.raises(StoreTrouble, match="Its format is 2, and this program reads 1"),
        held_ledger(shop.folder),
    ):
        pytest.fail("it was opened")
