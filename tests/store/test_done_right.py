"""How a trainee did each step before, read from the records of jobs that were played."""

import json
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest
from trained_shop import (
    FAILED_FIRST,
    FAULT_FOUND,
    FROM_PAPER,
    HANDED_ON,
    LAID_AGAIN,
    NOT_FITTED,
    OVERRIDDEN,
    PROCEDURE,
    TrainedShop,
)

from baycompanion.learning.fading import content_of, times_in_a_row
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job import done_right as reading
from baycompanion.store.job.done_right import Past, done_right

STEPS = ("tools-staged", "lead-laid", "volts", "dims", "shown")


@pytest.fixture
def trained(tmp_path: Path) -> TrainedShop:
    return TrainedShop(tmp_path / "shop")


def read(trained: TrainedShop, who: str = "N1", fade_after: int = 3) -> Past:
    return done_right(trained.shop.jobs, "mirror", who, fade_after)


def right(past: Past) -> list[dict[str, bool]]:
    return [{step: done.right for step, done in job.items()} for job in past]


def rows(past: Past, procedure: str = PROCEDURE) -> dict[str, int]:
    """Return how many times in a row each step was done right."""
    loaded = load_procedure(procedure, "mirror.yaml").procedure
    return {
        name: times_in_a_row(content_of(loaded, step), name, past)
        for name, step in loaded.steps.items()
    }


WELL = dict.fromkeys(STEPS, True)


def test_a_job_that_went_well_is_right_in_every_step(trained: TrainedShop) -> None:
    trained.play_well(2)
    assert right(read(trained)) == [WELL, WELL]
    assert rows(read(trained)) == dict.fromkeys(STEPS, 2)


@pytest.mark.parametrize(
    ("instead", "wrong"),
    [
        ({"dims": LAID_AGAIN}, "lead-laid"),
        ({"dims": FAILED_FIRST}, "dims"),
        ({"dims": OVERRIDDEN}, "dims"),
        ({"lead-laid": FAULT_FOUND}, "lead-laid"),
    ],
    ids=["reopened", "failed first", "gate overridden", "fault of the work"],
)
def test_what_went_wrong_is_not_right_and_nothing_else_suffers(
    trained: TrainedShop, instead: dict[str, Sequence[str]], wrong: str
) -> None:
    trained.play_well(1)
    trained.play(**instead)
    trained.play_well(1)
    assert right(read(trained)) == [WELL, WELL | {wrong: False}, WELL]
    assert rows(read(trained)) == dict.fromkeys(STEPS, 3) | {wrong: 1}


def test_a_step_copied_from_paper_says_nothing_of_anybody(trained: TrainedShop) -> None:
    trained.play(volts=FROM_PAPER)
    assert right(read(trained)) == [{step: True for step in STEPS if step != "volts"}]


def test_what_the_vehicle_does_not_have_is_neither_right_nor_an_error(
    trained: TrainedShop,
) -> None:
    trained.play_well(1)
    trained.play(dims=NOT_FITTED)
    assert "dims" not in read(trained)[0]
    assert rows(read(trained)) == dict.fromkeys(STEPS, 2) | {"dims": 1}


def test_of_a_job_that_was_handed_on_only_the_own_steps_count(trained: TrainedShop) -> None:
    trained.play(volts=HANDED_ON)
    assert right(read(trained)) == [{"tools-staged": True, "lead-laid": True}]
    assert right(read(trained, "T1")) == [{"volts": True, "dims": True, "shown": True}]


def test_nobody_elses_jobs_count(trained: TrainedShop) -> None:
    trained.play(who="N2")
    trained.play(who="T1")
    assert read(trained) == ()
    assert right(read(trained, "N2")) == [WELL]


def test_a_job_under_way_or_of_another_procedure_does_not_count(trained: TrainedShop) -> None:
    trained.under_way("dims")
    assert read(trained) == ()
    trained.play()
    assert done_right(trained.shop.jobs, "lamp", "N1", 3) == ()


def test_a_revision_counts_the_steps_that_it_left_alone(trained: TrainedShop) -> None:
    trained.play_well(3)
    newer = PROCEDURE.replace("revision: 1", "revision: 2").replace("a thumb", "two thumbs")
    trained.put(newer)
    assert rows(read(trained), newer) == dict.fromkeys(STEPS, 3) | {"dims": 0}
    trained.play_well(1)
    assert rows(read(trained), newer) == dict.fromkeys(STEPS, 4) | {"dims": 1}


@pytest.mark.parametrize("damage", ["record", "steps", "pinned", "changed", "no record"])
def test_a_job_that_cannot_be_read_is_left_out(trained: TrainedShop, damage: str) -> None:
    trained.play_well(1)
    broken = trained.play().folder
    trained.play_well(1)
    record, pinned = broken / "record.json", broken / "procedure.yaml"
    if damage == "record":
        record.write_bytes(b"\x00 no JSON")
    elif damage == "steps":
        record.write_bytes(record.read_bytes()[:-200])
    elif damage == "pinned":
        shutil.rmtree(trained.shop.procedures)
        for pinned in trained.shop.jobs.glob("*/procedure.yaml"):
            pinned.unlink()
    elif damage == "changed":
        pinned.write_text(PROCEDURE.replace("a thumb", "a finger"), encoding="utf-8")
        said = json.loads(record.read_bytes())
        said["procedure"]["sha256"] = "0" * 64
        record.write_text(json.dumps(said, indent=1), encoding="utf-8")
    else:
        record.unlink()
    left = [] if damage == "pinned" else [WELL, WELL]
    assert right(read(trained)) == left


def test_a_procedure_changed_in_its_folder_is_not_taken_for_the_one_followed(
    trained: TrainedShop,
) -> None:
    pinned = trained.play().folder / "procedure.yaml"
    pinned.write_text(PROCEDURE.replace("a thumb", "a finger"), encoding="utf-8")
    assert read(trained) == ()


def test_the_newest_job_is_the_one_that_ended_last(trained: TrainedShop) -> None:
    """Folders are named by the day on which a job began; what counts is when it ended."""
    late = trained.play(dims=FAILED_FIRST)
    trained.play_well(1)
    record = late.folder / "record.json"
    text = record.read_text(encoding="utf-8")
    ended = json.loads(text)["ended_at"]
    record.write_text(text.replace(f'"ended_at": "{ended}"', '"ended_at": "2026-03-09T09:00:00Z"'))
    assert [job["dims"] for job in right(read(trained))] == [False, True]


def test_no_more_jobs_are_read_than_can_matter(
    trained: TrainedShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    trained.play_well(4)
    monkeypatch.setattr(reading, "LEAST_READ", 3)
    assert len(read(trained, fade_after=1)) == 3
    assert len(read(trained, fade_after=2)) == 4
    trained.play(dims=FAILED_FIRST)
    assert [job["dims"] for job in right(read(trained, fade_after=1))] == [False, True, True]


def test_reading_stops_when_it_is_given_up(trained: TrainedShop) -> None:
    trained.play_well(2)
    assert done_right(trained.shop.jobs, "mirror", "N1", 3, lambda: True) == ()


def test_a_shop_without_jobs_has_no_past(tmp_path: Path) -> None:
    assert done_right(tmp_path / "none", "mirror", "N1", 3) == ()
