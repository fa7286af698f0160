"""Links in a shop folder: nothing is written through one, and no job lies elsewhere by one."""

import os
from pathlib import Path

import pytest
from bay import LISTS, START, T1, keys_in, load_small
from on_disk import open_up, walked_on_disk

from baycompanion.audit.choice import Choice
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.audit.one_job.gathering import facts_of
from baycompanion.audit.shop import audit_shop
from baycompanion.job.actions import Note
from baycompanion.store.durable import write_whole
from baycompanion.store.job.folder import JobListed, list_jobs, make_job, read_job
from baycompanion.store.job.journal import NAME, set_torn_aside
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.photos import read_photo
from baycompanion.store.ledger.entry import LedgerBegun
from baycompanion.store.ledger.ledger import NAME as LEDGER
from baycompanion.store.ledger.ledger import held_ledger, ledger_lines
from baycompanion.store.shelf import read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

pytestmark = pytest.mark.skipif(os.name == "nt", reason="links need a right of their own there")

KEPT = b"not of this shop\n"


@pytest.fixture
def outside(tmp_path: Path) -> Path:
    """Return a file that lies outside of the shop."""
    path = tmp_path / "outside"
    path.write_bytes(KEPT)
    return path


@pytest.fixture
def job(shop: Shop) -> Path:
    return make_job(shop.jobs, load_small(), keys_in())


def test_a_file_written_whole_is_not_written_through_a_link(tmp_path: Path, outside: Path) -> None:
    (tmp_path / ".record.json.part").symlink_to(outside)
    with pytest.raises(StoreTrouble, match="it is a link, and nothing is written through one"):
        write_whole(tmp_path / "record.json", b"new")
    assert outside.read_bytes() == KEPT


def test_a_file_written_whole_takes_the_place_of_a_link(tmp_path: Path, outside: Path) -> None:
    (tmp_path / "record.json").symlink_to(outside)
    write_whole(tmp_path / "record.json", b"new")
    assert outside.read_bytes() == KEPT
    assert not (tmp_path / "record.json").is_symlink()


def test_a_torn_end_is_not_set_aside_through_a_link(job: Path, outside: Path) -> None:
    (job / "journal.torn").symlink_to(outside)
    with pytest.raises(StoreTrouble, match="link"):
        set_torn_aside(job / NAME, b"ssh-ed25519 AAAA", 0)
    assert outside.read_bytes() == KEPT
    assert read_job(job).torn == b""


def test_no_event_goes_through_a_link(job: Path, tmp_path: Path) -> None:
    moved = tmp_path / "elsewhere.jsonl"
    (job / NAME).rename(moved)
    (job / NAME).symlink_to(moved)
    before = moved.read_bytes()
    with pytest.raises(StoreTrouble, match="link"):
        OpenJob(job, LISTS, T1, START)
    assert moved.read_bytes() == before


def test_no_entry_of_the_ledger_goes_through_a_link(shop: Shop, outside: Path) -> None:
    outside.write_bytes(b"")
    (shop.folder / LEDGER).symlink_to(outside)
    with pytest.raises(StoreTrouble, match="link"), held_ledger(shop.folder) as ledger:
        ledger.append(LedgerBegun(), "S1", START)
    assert outside.read_bytes() == b""


def test_the_lock_of_a_job_empties_no_file_behind_a_link(job: Path, outside: Path) -> None:
    (job / "lock").unlink(missing_ok=True)
    (job / "lock").symlink_to(outside)
    try:
        open_up(job).leave()
    except StoreTrouble as trouble:
        assert "lock" in str(trouble)
    assert outside.read_bytes() == KEPT


def test_a_job_behind_a_link_is_told_and_not_opened(shop: Shop, job: Path, tmp_path: Path) -> None:
    away = tmp_path / "away"
    job.rename(away)
    job.symlink_to(away, target_is_directory=True)
    with pytest.raises(StoreTrouble, match=f"{job} is a link, and a job is none"):
        read_job(job)
    [listed] = list_jobs(shop.jobs)
    assert not isinstance(listed, JobListed)
    [unread] = facts_of(JobFiles(job), [], False).unread
    assert "is a link" in unread


def test_a_linked_shop_folder_is_a_shop_all_the_same(shop: Shop, job: Path, tmp_path: Path) -> None:
    """Whole shops lie on other disks behind a link; what counts lies in them itself."""
    link = tmp_path / "link"
    link.symlink_to(shop.folder, target_is_directory=True)
    walked_on_disk(link / "jobs" / job.name, "gauges")
    opened = open_up(link / "jobs" / job.name)
    opened.act(Note(note="a word"), T1, START)
    opened.leave()
    assert [type(each) for each in list_jobs(link / "jobs")] == [JobListed]


@pytest.mark.parametrize(
    "named", ["../outside", "/etc/passwd", ".", "a/../../outside", "photos/../../outside"]
)
def test_a_photo_whose_name_leads_out_of_the_job_is_not_read(
    job: Path, outside: Path, named: str
) -> None:
    assert read_photo(job / "photos", named, "ab" * 32) == "its name leads out of the job"


@pytest.mark.parametrize(
    ("named", "told"),
    [
        ("../outside", "leads out of the folder of procedures"),
        ("shared/../../outside", "leads out of the folder of procedures"),
        ("/etc/passwd", "leads out of the folder of procedures"),
        ("linked.yaml", "There is no file “linked.yaml” here"),
        ("linked/outside", "There is no file “linked/outside” here"),
        ("x" * 300, "There is no file"),
        ("x/" * 3000 + "y", "There is no file"),
    ],
)
def test_an_include_that_leads_out_of_the_procedures_is_refused(
    shop: Shop, outside: Path, named: str, told: str
) -> None:
    (shop.procedures / "linked.yaml").symlink_to(outside)
    (shop.procedures / "linked").symlink_to(outside.parent, target_is_directory=True)
    path = shop.procedures / "any.yaml"
    path.write_text(f"procedure: any\nphases:\n  - include: {named}\n", encoding="utf-8")
    with pytest.raises(BadFile, match=told):
        read_procedure(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with a name")
def test_a_pipe_in_place_of_the_ledger_is_refused_and_not_waited_for(shop: Shop) -> None:
    os.mkfifo(shop.folder / LEDGER)
    with pytest.raises(StoreTrouble, match="is no plain file"):
        list(ledger_lines(shop.folder / LEDGER))
    with pytest.raises(StoreTrouble, match="is no plain file"), held_ledger(shop.folder):
        pass


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with a name")
def test_a_file_takes_the_place_of_no_pipe_and_no_device(tmp_path: Path) -> None:
    """Whoever is root could else turn /dev/stdout into a page."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "pipe")
    for name in ("pipe", "link"):
        with pytest.raises(StoreTrouble, match="is no plain file and is not written over"):
            write_whole(tmp_path / name, b"new")
    assert (tmp_path / "pipe").is_fifo()
    assert (tmp_path / "link").is_symlink()


@pytest.mark.parametrize("name", ["a\nNo findings.", "\u202edrow", "\x1b[2J"])
def test_a_job_whose_name_would_act_is_told_in_one_line(shop: Shop, job: Path, name: str) -> None:
    job.rename(shop.jobs / name)
    [listed] = list_jobs(shop.jobs)
    assert isinstance(listed, StoreTrouble)
    [told, _] = audit_shop(shop.folder, Choice())
    for trouble in (listed, told):
        assert "is passed over for the signs in its name. Rename it." in str(trouble)
        assert "\n" not in str(trouble)
