"""Making, reading, listing and finding jobs in a shop."""

import json
import re
from datetime import timedelta
from pathlib import Path

import pytest
from bay import START, T1, T2, keys_in, load_small
from freezegun import freeze_time
from on_disk import act, bay_of, kinds, open_up, walk, walked_on_disk, write_events

from baycompanion.job.actions import Abandon, Close, Note
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.hands_actions import HandOver, PauseWork
from baycompanion.procedure.fields import LONGEST_LINE
from baycompanion.procedure.load import hash_of, load_procedure
from baycompanion.store.job.finding import find_job
from baycompanion.store.job.folder import (
    PINNED,
    RECORD,
    JobListed,
    list_jobs,
    make_job,
    read_job,
    record_bytes,
    record_of,
    write_record,
)
from baycompanion.store.job.journal import NAME, read_ends
from baycompanion.store.job.journal_ends import End
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile


def test_a_new_job_has_its_procedure_pinned_and_one_event(folder: Path) -> None:
    assert folder.name == "20260302-wo-7"
    assert kinds(folder) == ["opened"]
    pinned = (folder / PINNED).read_text(encoding="utf-8")
    assert read_job(folder).state.opened.procedure_hash == hash_of(pinned)
    assert load_procedure(pinned, PINNED).procedure == load_small().procedure


def test_a_job_walked_on_the_disk_is_read_back_as_it_was_left(folder: Path) -> None:
    job = walk(open_up(folder), "join")
    job.leave()
    read = read_job(folder)
    assert (read.state, list(read.events)) == (job.state, job.events)
    assert read.torn == b""


def test_every_event_is_on_the_disk_before_the_action_returns(folder: Path) -> None:
    """Invariant 1, R53."""
    job = open_up(folder)
    for number in range(5):
        act(job, Note(note=f"note {number}"))
        assert len(kinds(folder)) == len(job.events)
    job.leave()


def test_a_job_whose_procedure_has_errors_is_not_made(shop: Shop) -> None:
    text = load_small().pinned_text.replace("back-to: join", "back-to: nowhere")
    with pytest.raises(BadFile):
        make_job(shop.jobs, load_procedure(text, "bad.yaml"), keys_in("WO"))
    assert list(shop.jobs.iterdir()) == []


def test_a_closed_job_has_its_record_beside_it(folder: Path) -> None:
    job = walk(open_up(folder))
    act(job, Close(close="keys back"))
    job.leave()
    content = (folder / RECORD).read_bytes()
    assert content == record_bytes(record_of(read_job(folder)))
    record = json.loads(content)
    assert (record["status"], record["clean"]) == ("closed", True)
    assert [event["kind"] for event in record["events"]] == kinds(folder)


def test_a_job_under_way_gets_a_provisional_record_on_demand(folder: Path) -> None:
    walked_on_disk(folder, "join")
    path = write_record(folder, record_of(read_job(folder)))
    assert json.loads(path.read_bytes())["status"] == "provisional"


def cut_short(folder: Path) -> bytes:
    """Close the job in `folder`, tear the last line of its journal, and return its record."""
    job = walk(open_up(folder))
    act(job, Close(close="keys back"))
    job.leave()
    lines = (folder / NAME).read_bytes()
    (folder / NAME).write_bytes(lines[:-40])
    return (folder / RECORD).read_bytes()


def test_a_provisional_record_takes_no_place_of_what_the_journal_has_lost(folder: Path) -> None:
    """It was written over the record of the closed job, the last to know how it ended."""
    closed = cut_short(folder)
    with pytest.raises(StoreTrouble, match="nothing was written over it"):
        write_record(folder, record_of(read_job(folder)))
    assert (folder / RECORD).read_bytes() == closed


def test_a_job_that_is_closed_again_keeps_the_record_of_what_its_journal_has_lost(
    folder: Path,
) -> None:
    closed = cut_short(folder)
    job = open_up(folder)
    act(job, Note(note="the laptop fell"), Close(close="keys back"))
    job.leave()
    assert (folder / "record-ahead-1.json").read_bytes() == closed
    assert (folder / RECORD).read_bytes() == record_bytes(record_of(read_job(folder)))


def test_two_jobs_of_one_work_order_and_day_lie_beside_each_other(shop: Shop) -> None:
    names = [make_job(shop.jobs, load_small(), keys_in()).name for _ in range(3)]
    assert names == ["20260302-wo-7", "20260302-wo-7-2", "20260302-wo-7-3"]


@pytest.mark.parametrize(
    "work_order",
    [
        "../../outside",
        "/etc/passwd",
        "..",
        ".",
        "",
        "C:\\windows\\x",
        "[red]markup[/red]",
        "\x1b]0;title\x07",
        "\u202edrow",
        "NUL",
        "con.txt",
        "a\x00b",
        "line\nbreak",
        "日本語",
        "\ud800",
        "x" * LONGEST_LINE,
        " spaced out ",
    ],
)
def test_no_work_order_leads_out_of_the_shop_or_into_a_terminal(
    shop: Shop, work_order: str
) -> None:
    """Invariant 6."""
    before = set(shop.folder.parent.rglob("*"))
    vehicle = Vehicle(description=work_order, vin=work_order, plate=work_order)
    folder = make_job(shop.jobs, load_small(), keys_in(work_order, vehicle))
    assert folder.parent == shop.jobs
    assert re.fullmatch(r"20260302-[a-z0-9]+(-[a-z0-9]+)*", folder.name)
    assert len(folder.name) < 60
    made = set(shop.folder.parent.rglob("*")) - before
    assert all(path.is_relative_to(folder) for path in made)
    [listed] = list_jobs(shop.jobs)
    assert isinstance(listed, JobListed)
    said = [listed.opened.work_order, *listed.opened.vehicle.model_dump().values()]
    assert all(text.isprintable() for text in said)
    assert read_job(folder).events[0].data == listed.opened
    open_up(folder).leave()


def test_jobs_are_listed_newest_first_with_how_they_stand(shop: Shop) -> None:
    when = START
    for work_order in ("WO 9", "WO 10", "WO 8"):
        when += timedelta(hours=1)
        make_job(shop.jobs, load_small(), keys_in(work_order, when=when))
    job = open_up(find_job(shop.jobs, "WO 10"))
    act(job, Abandon(abandon="wrong part"))
    job.leave()
    listed = [job for job in list_jobs(shop.jobs) if isinstance(job, JobListed)]
    assert [(job.opened.work_order, job.status) for job in listed] == [
        ("WO 8", "under way"),
        ("WO 10", "abandoned"),
        ("WO 9", "under way"),
    ]
    assert listed[0].opened_at == "2026-03-02T11:00:00.000Z"


def test_a_list_says_why_a_job_cannot_be_read_and_goes_on(shop: Shop, folder: Path) -> None:
    other = make_job(shop.jobs, load_small(), keys_in("WO 8"))
    (folder / NAME).write_bytes(b"junk\n")
    (shop.jobs / "no-job").mkdir()
    (shop.jobs / "stray.txt").write_text("stray", encoding="utf-8")
    trouble, listed = list_jobs(shop.jobs)
    assert isinstance(trouble, StoreTrouble)
    assert f"{folder / NAME}:1: This line is no JSON." in str(trouble)
    assert isinstance(listed, JobListed)
    assert listed.folder == other


def test_a_list_of_a_folder_that_is_gone_says_so(tmp_path: Path) -> None:
    [trouble] = list_jobs(tmp_path / "gone")
    assert "gone cannot be read: no such file or directory." in str(trouble)


@pytest.mark.parametrize("torn", [b"", b'{"seq":4,"at":"20', b'{"kind":"closed"}'])
def test_a_list_reads_the_last_whole_line_only(shop: Shop, folder: Path, torn: bytes) -> None:
    content = walked_on_disk(folder, "tools")
    (folder / NAME).write_bytes(content + torn)
    [listed] = list_jobs(shop.jobs)
    assert isinstance(listed, JobListed)
    assert listed.status == "under way"


def test_a_list_knows_a_closed_job_however_long_its_journal(shop: Shop, folder: Path) -> None:
    job = open_up(folder)
    walk(job, "tools")
    for _ in range(20):
        act(job, Note(note="x" * 9_000))
    act(job, Abandon(abandon="r"))
    job.leave()
    assert (folder / NAME).stat().st_size > 150_000
    [listed] = list_jobs(shop.jobs)
    assert isinstance(listed, JobListed)
    assert listed.status == "abandoned"


@pytest.mark.parametrize("size", [65_535, 65_536, 65_537])
def test_both_ends_are_read_in_one_piece_or_two(shop: Shop, folder: Path, size: int) -> None:
    job = open_up(folder)
    act(job, Abandon(abandon="r"))
    job.leave()
    opened, content = read_job(folder), (folder / NAME).read_bytes()
    (folder / NAME).write_bytes(content.ljust(size, b"x"))  # a torn line
    assert read_ends(folder / NAME) == (
        opened.events[0],
        End("abandoned", head=opened.state.head),
    )


def test_a_pinned_procedure_that_was_changed_is_refused(folder: Path) -> None:
    """R55."""
    path = folder / PINNED
    path.write_text(path.read_text(encoding="utf-8") + "# a remark\n", encoding="utf-8")
    for opening in (read_job, open_up):
        with pytest.raises(StoreTrouble, match=r"procedure.yaml was changed after the job began"):
            opening(folder)
    assert not (folder / "holder.json").exists()


def test_a_pinned_procedure_that_is_gone_is_named(folder: Path) -> None:
    (folder / PINNED).unlink()
    with pytest.raises(StoreTrouble, match=r"There is no file .*procedure.yaml. Check the name."):
        read_job(folder)


def test_a_later_edit_of_the_procedure_does_not_change_a_job_under_way(folder: Path) -> None:
    """R55: includes are resolved, so the job needs no other file."""
    assert read_job(folder).procedure == load_small().procedure


def test_a_job_opened_where_there_is_none_makes_nothing(shop: Shop) -> None:
    missing = shop.jobs / "typo"
    with pytest.raises(StoreTrouble, match="There is no folder"):
        OpenJob(missing, shop.lists, T1, START)
    assert not missing.exists()


def test_a_job_is_handed_only_to_somebody_on_the_staff(folder: Path) -> None:
    """R48."""
    job = walk(open_up(folder), "tools")
    hand = HandOver(hand_over="X9", words="w", loose="none", first="none")
    refused = job.act(hand, T1, START + timedelta(hours=1))
    assert isinstance(refused, Refused)
    assert refused.why == "“X9” is not on the staff. Known are: T1, T2, N1, S1."
    act(job, hand.model_copy(update={"hand_over": T2.id}))
    job.leave()


def test_a_closed_job_that_lost_its_record_gets_it_back_when_it_is_opened(folder: Path) -> None:
    content = walked_on_disk(folder, None)
    job = open_up(folder)
    act(job, Close(close="keys back"))
    job.leave()
    record = (folder / RECORD).read_bytes()
    for damage in (None, b"", b"half a rec", record.replace(b'"closed"', b'"provisional"', 1)):
        (folder / RECORD).unlink()
        if damage is not None:
            (folder / RECORD).write_bytes(damage.replace(job.state.head.encode(), b"old"))
        open_up(folder).leave()
        assert (folder / RECORD).read_bytes() == record
    assert (folder / NAME).read_bytes().startswith(content)


def test_opening_a_closed_job_writes_nothing_in_its_journal(folder: Path) -> None:
    walked_on_disk(folder, None)
    job = open_up(folder)
    act(job, Close(close="keys back"))
    job.leave()
    closed = (folder / NAME).read_bytes()
    open_up(folder, after=86_400).leave()
    open_up(folder, after=-86_400).leave()
    assert (folder / NAME).read_bytes() == closed


def test_neither_the_core_nor_the_store_reads_a_clock(shop: Shop, tmp_path: Path) -> None:
    """Times come in as arguments: under another wall clock the same bytes are written."""
    journals = []
    for year in ("1999-01-01", "2044-07-07"):
        with freeze_time(year):
            jobs = tmp_path / year
            folder = make_job(jobs, load_small(), keys_in())
            job = walk(open_up(folder))
            act(job, Close(close="keys back"))
            job.leave()
            journals.append((folder / NAME).read_bytes() + (folder / RECORD).read_bytes())
    assert journals[0] == journals[1]


@pytest.mark.parametrize(("after", "found"), [(119, False), (120, False), (121, True)])
def test_time_in_which_no_program_ran_is_found_on_opening(
    folder: Path, after: float, found: bool
) -> None:
    content = walked_on_disk(folder, "join")
    job = open_up(folder, after=after)
    assert (job.state.gap is not None) is found
    assert job.left_at == read_job(folder).events[len(content.splitlines()) - 1].at
    assert kinds(folder)[-1] == ("gap-found" if found else "begun")
    job.leave()
    again = open_up(folder, after=after + 60)
    assert again.left_at == job.left_at, "that time is missing is no entry"
    again.leave()


def test_a_job_that_was_opened_and_left_without_a_word_asks_later_about_all_of_the_time(
    folder: Path,
) -> None:
    walked_on_disk(folder, "join")
    open_up(folder, after=600).leave()
    job = open_up(folder, after=86_400)
    assert job.state.gap is not None
    assert (job.state.gap.since, job.state.gap.milliseconds) == (job.left_at, 87_000_000)
    job.leave()


def test_no_time_is_missing_in_a_pause_before_the_start_or_after_the_end(folder: Path) -> None:
    open_up(folder, after=86_400).leave()
    assert kinds(folder) == ["opened"]
    bay = bay_of(folder).walk("join")
    bay.do(PauseWork(pause="night", loose="none", first="none"))
    write_events(folder, bay.events)
    open_up(folder, after=86_400).leave()
    assert kinds(folder)[-1] == "paused"
