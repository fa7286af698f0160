"""Practice on the disk: where it lies, what it writes, and what it never writes."""

import json
import shutil
from datetime import timedelta
from pathlib import Path

import pytest
import yaml
from bay import N1, S1, START, keys_in, load_small
from on_disk import last_moment
from practice import PracticeBay

from baycompanion.job.actions import Abandon, Accept, Answer, Override
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.deciding.practising import MENTOR, PRACTICE_MENTOR
from baycompanion.job.hands_actions import HandOver
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.state import State
from baycompanion.learning.practice.summary import PracticeSummary, summarise
from baycompanion.learning.practice.vehicle import MadeUpVehicle, make_vehicle, truthful
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.practice import (
    list_practice,
    make_practice,
    open_practice,
    practice_folders,
)
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble


@pytest.fixture
def practice(shop: Shop) -> Path:
    """Return the folder of practice of N1 that was just made."""
    return make_practice(shop, load_small(), N1, START, 3, 2)


def act(job: OpenJob, *actions: object) -> State:
    for action in actions:
        came = job.act(action, N1, last_moment(job.folder) + timedelta(seconds=20))  # type: ignore[arg-type]
        assert not isinstance(came, Refused), came
    return job.state


def walk(job: OpenJob, to: str | None = "no such step") -> None:
    """Walk on honestly until the step `to` is in hand, or to the end."""
    while job.state.current != to and (done := truthful(made(job), job.procedure, job.state)):
        action, who = done
        came = job.act(action, who, last_moment(job.folder) + timedelta(hours=2))
        assert not isinstance(came, Refused), came


def made(job: OpenJob) -> MadeUpVehicle:
    practice = job.state.opened.practice
    assert practice is not None
    return make_vehicle(job.procedure, practice.seed, practice.faults)


def test_it_lies_below_learning_and_never_among_the_jobs(shop: Shop, practice: Path) -> None:
    assert practice.parent == shop.folder / "learning" / "N1" / "practice"
    assert list(shop.jobs.iterdir()) == []
    assert practice_folders(shop.folder, "N1") == (practice,)
    assert practice_folders(shop.folder, "T1") == ()


def test_every_file_says_that_it_is_practice(practice: Path) -> None:
    job = open_practice(practice, N1, START)
    act(job, Accept(accept="hazards"), Abandon(abandon="enough"))
    job.leave()
    first = json.loads((practice / "journal.jsonl").read_bytes().splitlines()[0])
    assert first["data"]["practice"] == {"seed": 3, "faults": 2}
    assert first["data"]["vehicle"]["description"].startswith("Made-up")
    pinned = (practice / "procedure.yaml").read_text(encoding="utf-8")
    assert pinned.startswith("# This is practice")
    assert yaml.safe_load(pinned)["procedure"] == "small-receiver"
    summary = json.loads((practice / "practice.json").read_bytes())
    assert summary["practice"] is True
    assert len(summary["planted"]) == 2
    assert summary["who"] == "N1"


def test_its_end_writes_a_summary_and_no_record_nor_ledger(shop: Shop, practice: Path) -> None:
    job = open_practice(practice, N1, START)
    walk(job)
    job.leave()
    summary = PracticeSummary.model_validate_json((practice / "practice.json").read_bytes())
    assert summary == summarise(job.procedure, job.events)
    assert summary.ended_at == job.state.ended_at is not None
    assert all(each.caught_at for each in summary.planted)
    assert not (practice / "record.json").exists()
    assert not (shop.folder / "ledger.jsonl").exists()
    assert list(shop.jobs.iterdir()) == []


def test_an_ended_practice_is_told_wherever_it_broke_off(shop: Shop, practice: Path) -> None:
    job = open_practice(practice, N1, START)
    act(job, Accept(accept="hazards"), Abandon(abandon="enough"))
    job.leave()
    (practice / "practice.json").unlink()
    open_practice(practice, N1, START + timedelta(days=3)).leave()
    assert (practice / "practice.json").exists()
    names = {path.name for path in practice.iterdir()}
    assert "record.json" not in names
    assert not (shop.folder / "ledger.jsonl").exists()


def test_no_record_is_written_of_it(practice: Path) -> None:
    job = open_practice(practice, N1, START)
    with pytest.raises(StoreTrouble, match="it makes no job record"):
        job.write_record()
    job.leave()
    assert not (practice / "record.json").exists()


def test_its_staff_is_whoever_practises_and_the_made_up_mentor(practice: Path) -> None:
    job = open_practice(practice, N1, START)
    assert set(job.lists.staff) == {"N1", PRACTICE_MENTOR}
    assert job.state.mentor == PRACTICE_MENTOR
    act(job, Accept(accept="hazards"))
    other = HandOver(hand_over="T1", words="w", loose="l", first="f")
    assert isinstance(job.act(other, N1, START + timedelta(minutes=2)), Refused)
    job.leave()


def test_the_mentor_may_override_a_gate(practice: Path) -> None:
    job = open_practice(practice, N1, START)
    walk(job, "picture")
    act(job, Answer(answer="picture", outcome="could not test", words="no screen"))
    walk(job, None)
    assert gates_holding(job.procedure, job.state) == ("sound-before-refit",)
    when = last_moment(practice) + timedelta(seconds=20)
    asked = Override(
        override="sound-before-refit", reason=job.lists.reasons[0], words="w", instead="i"
    )
    assert isinstance(job.act(asked, N1, when), Refused)
    assert isinstance(job.act(asked, MENTOR, when), State)
    job.leave()


def test_time_between_two_sittings_asks_nothing(practice: Path) -> None:
    job = open_practice(practice, N1, START)
    act(job, Accept(accept="hazards"))
    job.leave()
    job = open_practice(practice, N1, START + timedelta(days=2))
    assert job.state.gap is None
    job.leave()


def test_a_real_job_is_no_practice_wherever_it_lies(shop: Shop, practice: Path) -> None:
    folder = make_job(shop.jobs, load_small(), keys_in(vehicle=PracticeBay().made.vehicle, who=S1))
    moved = folder.rename(practice.parent / folder.name)
    with pytest.raises(StoreTrouble, match="is a real job, and no practice"):
        open_practice(moved, S1, START)
    assert [each.id for each in list_practice(shop.folder, "N1")] == [practice.name]


def test_practice_of_one_person_is_listed_the_newest_first(shop: Shop, practice: Path) -> None:
    later = make_practice(shop, load_small(), N1, START + timedelta(hours=1), 4, 1)
    assert later.name == f"{practice.name}-2"
    listed = list_practice(shop.folder, "N1")
    assert [(each.id, each.seed) for each in listed] == [(later.name, 4), (practice.name, 3)]
    assert all(isinstance(each, PracticeSummary) and each.ended_at is None for each in listed)
    (later / "procedure.yaml").unlink()
    assert [each.id for each in list_practice(shop.folder, "N1")] == [practice.name]


def test_practice_somewhere_else_is_not_opened_and_makes_no_shop_there(
    practice: Path, tmp_path: Path
) -> None:
    copied = shutil.copytree(practice, tmp_path / "a" / "b" / "c" / "d" / practice.name)
    with pytest.raises(StoreTrouble, match="does not lie below the learning folder of a shop"):
        open_practice(copied, N1, START)
    assert [path.name for path in (tmp_path / "a").iterdir()] == ["b"]
