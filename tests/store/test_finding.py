"""A job is found by its name or work order; an ended one by its plate or VIN, or a part of it."""

from datetime import timedelta
from pathlib import Path

import pytest
from bay import START, T1, keys_in, load_small

from baycompanion.job.actions import Abandon
from baycompanion.job.events.carried import Vehicle
from baycompanion.store.job.earlier import earlier_in, find_earlier
from baycompanion.store.job.finding import MOST_NAMED, find_ended_job, find_job, jobs_that_fit
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble


@pytest.mark.parametrize(
    "name", ["20260302-wo-7", "20260302-WO-7", " 20260302-wo-7 ", "WO 7", "wo 7", "20260302"]
)
def test_a_job_is_found_by_its_name_its_beginning_or_its_work_order(
    shop: Shop, folder: Path, name: str
) -> None:
    assert find_job(shop.jobs, name) == folder


def test_a_job_is_found_by_its_whole_plate_or_vin_and_by_no_part_of_it(
    shop: Shop, folder: Path
) -> None:
    """A command that opens or writes a job takes none by chance."""
    job = began(shop, "WO 8", hours=1, plate="DEMO 7", vin="00DEM0000TEST1042")
    for whole in ("demo7", "DEMO-7", "00dem0000test1042"):
        assert find_job(shop.jobs, whole) == job
    for part in ("demo", "1042"):
        with pytest.raises(StoreTrouble, match=f"There is no job “{part}”"):
            find_job(shop.jobs, part)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("WO 1", "There is no job “WO 1”. Write one of: 20260302-wo-8, 20260302-wo-7."),
        ("20260302-wo-9", "There is no job “20260302-wo-9”. Did you mean 20260302-wo-"),
        ("2026", "“2026” fits more than one job. Write one of: 20260302-wo-8, 20260302-wo-7."),
        ("", "There is no job “”. Write one of: "),
        ("..", "There is no job “..”. Write one of: "),
        ("../jobs/20260302-wo-7", "There is no job “../jobs/20260302-wo-7”. Did you mean"),
        ("\x1b[2J", "There is no job “\N{REPLACEMENT CHARACTER}[2J”. "),
    ],
)
def test_a_name_that_fits_no_job_or_several_gets_one_sentence(
    shop: Shop, folder: Path, name: str, why: str
) -> None:
    make_job(shop.jobs, load_small(), keys_in("WO 8", when=START + timedelta(hours=1)))
    with pytest.raises(StoreTrouble) as trouble:
        find_job(shop.jobs, name)
    assert str(trouble.value).startswith(why)


def test_a_damaged_job_is_found_by_name_so_that_reading_it_says_why(
    shop: Shop, folder: Path
) -> None:
    (folder / NAME).write_bytes(b"junk\n")
    assert find_job(shop.jobs, folder.name) == folder
    with pytest.raises(StoreTrouble, match="This line is no JSON"):
        read_job(folder)


def began(shop: Shop, order: str, hours: int = 0, **known: str) -> Path:
    """Begin a job so many hours after the first, on a vehicle of which this is `known`."""
    vehicle = Vehicle(description="van", **known)
    return make_job(
        shop.jobs, load_small(), keys_in(order, vehicle, when=START + timedelta(hours=hours))
    )


def ended(shop: Shop, order: str, hours: int = 0, **known: str) -> Path:
    """Begin such a job, and give it up."""
    folder = began(shop, order, hours, **known)
    when = START + timedelta(hours=hours, minutes=1)
    job = OpenJob(folder, shop.lists, T1, when)
    job.act(Abandon(abandon="sold"), T1, when)
    job.leave()
    return folder


def test_what_fits_is_told_apart_by_how_it_stands_newest_first(shop: Shop) -> None:
    first = ended(shop, "WO 1", plate="DEMO 1")
    later = ended(shop, "WO 2", hours=5, plate="DEMO 12")
    now = began(shop, "WO 3", hours=9, plate="demo-1")
    ended(shop, "WO 4", hours=7, plate="TEST 1")
    (shop.jobs / "old").mkdir()
    (shop.jobs / "old" / NAME).write_bytes(b"junk\n")
    fitting = jobs_that_fit(shop.jobs, "Demo1")
    assert [job.folder for job in fitting.ended] == [later, first]
    assert [job.folder for job in fitting.under_way] == [now]
    assert fitting.unread == 1


def test_no_whole_job_is_read_to_see_which_fit(shop: Shop) -> None:
    folder = ended(shop, "WO 1", plate="DEMO 1")
    (folder / "procedure.yaml").unlink()
    assert [job.folder for job in jobs_that_fit(shop.jobs, "demo").ended] == [folder]


@pytest.mark.parametrize("typed", ["demo 1", "00DEM-0000", "test 1042", "WO 1", "20260302-wo-1"])
def test_an_ended_job_is_found_by_plate_vin_work_order_or_name(shop: Shop, typed: str) -> None:
    folder = ended(shop, "WO 1", plate="DEMO 1", vin="00DEM0000TEST1042")
    ended(shop, "WO 2", plate="OTHER 2")
    began(shop, "WO 3", plate="DEMO 1", vin="00DEM0000TEST1042")  # the one it comes back in
    assert find_ended_job(shop.jobs, typed) == folder


def test_a_whole_plate_comes_before_one_that_it_is_a_part_of(shop: Shop) -> None:
    ended(shop, "WO 1", plate="DEMO 11")
    folder = ended(shop, "WO 2", plate="DEMO 1")
    assert find_ended_job(shop.jobs, "DEMO1") == folder


def test_where_more_fit_they_are_named_as_far_as_anybody_reads(shop: Shop) -> None:
    made = [ended(shop, f"WO {number}", number, plate="DEMO 1") for number in range(MOST_NAMED + 1)]
    with pytest.raises(StoreTrouble) as trouble:
        find_ended_job(shop.jobs, "demo")
    named = ", ".join(folder.name for folder in made[:0:-1])
    assert str(trouble.value) == f"“demo” fits more than one job. Write one of: {named}, …."


@pytest.mark.parametrize("typed", ["nobody", "", " - "])
def test_where_none_fits_one_sentence_says_which_jobs_there_are(shop: Shop, typed: str) -> None:
    ended(shop, "WO 1", plate="DEMO 1")
    with pytest.raises(StoreTrouble, match="nor an ended one of that plate or VIN"):
        find_ended_job(shop.jobs, typed)


def test_the_earlier_job_may_be_named_by_its_plate(shop: Shop, tmp_path: Path) -> None:
    folder = ended(shop, "WO 1", plate="DEMO 1")
    vehicle = Vehicle(description="van", plate="DEMO 1")
    earlier = find_earlier(shop.jobs, "demo1", tmp_path / "demo1", vehicle)
    assert earlier.job == folder.name


def test_a_vin_written_with_blanks_is_the_same_and_another_plate_is_no_refusal(shop: Shop) -> None:
    folder = ended(shop, "WO 1", plate="DEMO 1", vin="00DEM0000TEST1042")
    vehicle = Vehicle(description="van", plate="DEMO 2", vin="00dem 0000-test 1042")
    assert earlier_in(folder, vehicle).work_order == "WO 1"
    with pytest.raises(StoreTrouble, match="was on another vehicle, VIN") as refused:
        earlier_in(folder, Vehicle(description="van", vin="00DEM0000TEST1043"))
    # A form that began from one job cannot name another, and a command can begin again, too.
    said = "Correct the VIN, or begin again from the job of this vehicle."
    assert str(refused.value).endswith(said)
