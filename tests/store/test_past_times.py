"""The past is read from the heads of the records, the newest first, and nothing else of them."""

import json
from pathlib import Path

import pytest
from lamp import make_shop
from past_shop import play_past

from baycompanion.job.record.past_job import PastJob
from baycompanion.job.record.whole import JobRecord
from baycompanion.store.job import past_times
from baycompanion.store.job.past_times import past_jobs, past_of
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return make_shop(tmp_path / "shop")


def test_the_past_holds_the_worked_seconds_of_every_phase(shop: Shop, tmp_path: Path) -> None:
    [first, second] = play_past(tmp_path, shop, [(10, 20, 12), (9, 30, 8)])
    told = past_of(shop.jobs, {"lamp", "other"})
    assert told["other"] == ()
    assert [past.job for past in told["lamp"]] == [second.folder.name, first.folder.name]
    for past, played in zip(told["lamp"], (second, first), strict=True):
        record = JobRecord.model_validate_json((played.folder / "record.json").read_bytes())
        assert past.worked == {each.phase: each.worked_seconds for each in record.phases}
        assert min(past.worked.values()) > 400


def test_a_record_is_read_up_to_its_steps_and_no_further(shop: Shop, tmp_path: Path) -> None:
    [played] = play_past(tmp_path, shop, [(10, 20, 12)])
    path = played.folder / "record.json"
    [whole] = past_of(shop.jobs, {"lamp"})["lamp"]
    head = path.read_bytes().split(b'\n "steps": [')[0]
    path.write_bytes(head + b'\n "steps": [' + b"\x00 no JSON " * 10_000)
    assert past_of(shop.jobs, {"lamp"})["lamp"] == (whole,)


def test_a_head_longer_than_one_chunk_is_read_to_its_end(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    play_past(tmp_path, shop, [(10, 20, 12)])
    at_once = past_of(shop.jobs, {"lamp"})
    for chunk in (1, 7, 10, 1000):
        monkeypatch.setattr(past_times, "CHUNK", chunk)
        assert past_of(shop.jobs, {"lamp"}) == at_once


def test_another_layout_of_a_record_is_read_whole(shop: Shop, tmp_path: Path) -> None:
    [played] = play_past(tmp_path, shop, [(10, 20, 12)])
    path, before = played.folder / "record.json", past_of(shop.jobs, {"lamp"})
    path.write_text(json.dumps(json.loads(path.read_bytes())), encoding="utf-8")
    assert past_of(shop.jobs, {"lamp"}) == before


@pytest.mark.parametrize("broken", [b"", b"no record", b"[]", b'{"record": 1}', b"\xff{"])
def test_a_record_that_cannot_be_read_is_left_out(
    shop: Shop, tmp_path: Path, broken: bytes
) -> None:
    [first, second] = play_past(tmp_path, shop, [(10, 20, 12), (9, 30, 8)])
    (second.folder / "record.json").write_bytes(broken)
    assert [past.job for past in past_of(shop.jobs, {"lamp"})["lamp"]] == [first.folder.name]
    [trouble, told] = past_jobs(shop.jobs)
    assert isinstance(trouble, StoreTrouble) and isinstance(told, PastJob)
    assert str(trouble).startswith(str(second.folder / "record.json"))


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ('"status": "closed"', '"status": "abandoned"'),
        ('"status": "closed"', '"status": "provisional"'),
        ('"worked_seconds": ', '"worked_seconds": -'),
        ('"ended_at": "2', '"ended_at": null, "was": "2'),
    ],
)
def test_a_job_that_was_not_closed_or_has_no_good_times_counts_for_nothing(
    shop: Shop, tmp_path: Path, was: str, now: str
) -> None:
    [played] = play_past(tmp_path, shop, [(10, 20, 12)])
    path = played.folder / "record.json"
    text = path.read_text(encoding="utf-8")
    assert was in text
    path.write_text(text.replace(was, now, 1), encoding="utf-8")
    assert past_of(shop.jobs, {"lamp"})["lamp"] == ()


def test_a_folder_without_a_record_and_a_shop_without_jobs_have_no_past(tmp_path: Path) -> None:
    (tmp_path / "jobs" / "20260302-wo").mkdir(parents=True)
    assert list(past_jobs(tmp_path / "jobs")) == [None]
    assert past_of(tmp_path / "none", {"lamp"}) == {"lamp": ()}


def test_no_more_than_the_stated_number_is_kept_and_looked_at(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs = [played.folder.name for played in play_past(tmp_path, shop, [(10, 20, 12)] * 4)]
    monkeypatch.setattr(past_times, "MOST_KEPT", 2)
    assert [past.job for past in past_of(shop.jobs, {"lamp"})["lamp"]] == [jobs[3], jobs[2]]
    monkeypatch.setattr(past_times, "MOST_LOOKED_AT", 1)
    assert [past.job for past in past_of(shop.jobs, {"lamp"})["lamp"]] == [jobs[3]]


def test_reading_stops_where_it_was_given_up(shop: Shop, tmp_path: Path) -> None:
    play_past(tmp_path, shop, [(10, 20, 12)] * 3)
    answers = iter([False, True])
    assert len(past_of(shop.jobs, {"lamp"}, lambda: next(answers))["lamp"]) == 1
