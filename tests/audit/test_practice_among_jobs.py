"""Practice that somebody copied among the jobs: told, and counted nowhere."""

import shutil
from pathlib import Path

import pytest
from bay import LISTS, N1, START, load_small

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.work_facts import WorkFacts
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.job.actions import Abandon, Accept
from baycompanion.store.job.folder import JobListed, list_jobs, read_job, read_job_as_far
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.past_times import past_jobs
from baycompanion.store.ledger.entering import enter_missing
from baycompanion.store.ledger.entry import JobEntry
from baycompanion.store.ledger.ledger import NAME, read_readable
from baycompanion.store.practice import make_practice, open_practice
from baycompanion.store.shop import open_shop
from baycompanion.store.trouble import StoreTrouble


@pytest.fixture
def copied(shop: Path) -> Path:
    """Return ended practice that lies among the jobs of the shop."""
    folder = make_practice(open_shop(shop), load_small(), N1, START, 1, 2)
    practice = open_practice(folder, N1, START)
    practice.act(Accept(accept="hazards"), N1, START)
    practice.act(Abandon(abandon="enough"), N1, START)
    practice.leave()
    return shutil.copytree(folder, shop / "jobs" / folder.name)


def test_it_is_told_once_and_no_job_is_counted_for_it(shop: Path, copied: Path) -> None:
    kept: list[WorkFacts] = []
    before = [each for each in audit_shop(shop, Choice()) if isinstance(each, ShopSeen)]
    found = list(audit_shop(shop, Choice(), keep=kept.append))
    told = [each for each in found if isinstance(each, Finding)]
    assert [(each.rule.id, each.job) for each in told] == [("practice-among-jobs", copied.name)]
    assert "practice of N1" in told[0].sentence
    assert copied.name not in {work.job for work in kept}
    shutil.rmtree(copied)
    [seen] = [each for each in audit_shop(shop, Choice()) if isinstance(each, ShopSeen)]
    assert before == [seen]


def test_practice_in_place_of_a_job_is_held_against_the_ledger(shop: Path, copied: Path) -> None:
    job = next(path for path in sorted((shop / "jobs").iterdir()) if path != copied)
    shutil.rmtree(job)
    copied.rename(job)
    told = [each for each in audit_shop(shop, Choice()) if isinstance(each, Finding)]
    rules = {each.rule.id for each in told if each.job == job.name}
    assert "practice-among-jobs" in rules
    assert len(rules) > 1


def test_the_lists_of_jobs_call_it_practice(shop: Path, copied: Path) -> None:
    listed = list(list_jobs(shop / "jobs"))
    assert copied not in [each.folder for each in listed if isinstance(each, JobListed)]
    [trouble] = [each for each in listed if isinstance(each, StoreTrouble)]
    assert "is practice on a made-up vehicle and counts nowhere" in str(trouble)
    assert copied.name in str(trouble)


def test_no_command_for_jobs_opens_it(copied: Path) -> None:
    with pytest.raises(StoreTrouble, match="is practice on a made-up vehicle"):
        read_job(copied)
    with pytest.raises(StoreTrouble, match="is practice on a made-up vehicle"):
        read_job_as_far(copied)
    with pytest.raises(StoreTrouble, match="is practice on a made-up vehicle"):
        OpenJob(copied, LISTS, N1, START)


def test_the_ledger_never_enters_it(shop: Path, copied: Path) -> None:
    enter_missing(shop, START)
    entered = [each.data for each in read_readable(shop / NAME)]
    assert copied.name not in {each.job for each in entered if isinstance(each, JobEntry)}


def test_no_past_time_comes_from_it(shop: Path, copied: Path) -> None:
    assert not (copied / "record.json").exists()
    jobs = [each.job for each in past_jobs(shop / "jobs") if hasattr(each, "job")]
    assert copied.name not in jobs
