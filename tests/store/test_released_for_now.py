"""Work released without a second person, on the disk: listed until somebody has looked."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from bay import LISTS, START, T1, T2, keys_in
from on_disk import act, kinds
from second_person import ALONE, FOUND, TOOLS, load_second, seen

from baycompanion.job.actions import (
    Accept,
    Answer,
    Close,
    Override,
)
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.deciding.shop_lists import ShopLists
from baycompanion.job.events.moment import read_moment
from baycompanion.store.job.folder import JobListed, list_jobs, make_job, read_job, record_of
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop

ONE_MAN = ShopLists({"T1": T1}, LISTS.reasons)


@pytest.fixture
def draw(shop: Shop) -> Path:
    """Return the folder of a job whose second person is to look now."""
    folder = make_job(shop.jobs, load_second(), keys_in("WO 8"))
    job = OpenJob(folder, ONE_MAN, T1, START)
    act(job, Accept(accept="hazards"), *TOOLS, *FOUND)
    job.leave()
    return folder


def later(folder: Path, lists: ShopLists = ONE_MAN) -> tuple[OpenJob, datetime]:
    """Open a job a minute after its newest event."""
    when = read_moment(read_job(folder).state.last_at) + timedelta(minutes=1)
    return OpenJob(folder, lists, T1, when), when


def listed(shop: Shop) -> JobListed:
    """Return the one job that the shop lists."""
    [job] = list_jobs(shop.jobs)
    assert isinstance(job, JobListed)
    return job


def test_a_job_closed_for_now_is_listed_so_until_somebody_has_looked(
    shop: Shop, draw: Path
) -> None:
    """R51: shown until it is done."""
    job, _ = later(draw)
    act(job, ALONE, Answer(answer="noted"), Answer(answer="keys"), Close(close="keys back"))
    job.leave()
    assert (listed(shop).status, listed(shop).end.unseen) == ("closed", True)
    assert listed(shop).standing == "closed, a second person is still to look"
    first = record_of(read_job(draw))
    job, _ = later(draw)
    act(job, seen(), who=T2)
    job.leave()
    assert (listed(shop).status, listed(shop).end.unseen) == ("closed", False)
    assert kinds(draw)[-2:] == ["closed", "answered"]
    again = record_of(read_job(draw))
    assert (first.provisional, again.provisional) == (["seen"], [])
    assert again.ended_at == first.ended_at
    assert str(draw / "record.json") == str(job.write_record())


def test_an_open_job_is_never_listed_as_closed_by_what_somebody_typed(
    shop: Shop, draw: Path
) -> None:
    job, _ = later(draw)
    act(job, ALONE.model_copy(update={"words": '"kind":"closed"'}))
    job.leave()
    assert b"kind" in (draw / NAME).read_bytes()
    assert listed(shop).status == "under way"


def test_a_shop_with_somebody_else_on_its_list_does_not_release_for_now(draw: Path) -> None:
    job, when = later(draw, LISTS)
    refused = job.act(ALONE, T1, when)
    assert isinstance(refused, Refused)
    assert refused.opens_by[0].words == "Call one of: T2, S1"
    job.leave()


def test_an_override_for_a_reason_of_its_own_is_refused_wherever_it_comes_from(
    draw: Path,
) -> None:
    """R23."""
    job, when = later(draw, LISTS)
    act(job, Answer(answer="seen", outcome="not done", words="w"), Answer(answer="noted"))
    override = Override(override="seen-before-keys", reason="late", words="w", instead="i")
    refused = job.act(override, LISTS.staff["S1"], when + timedelta(hours=1))
    assert isinstance(refused, Refused)
    assert refused.why == "“late” is no reason on this shop's list. Use one of these."
    job.leave()
