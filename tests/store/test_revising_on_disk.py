"""A newer revision under a job on the disk: pinned beside the first, and followed after a crash."""

from datetime import timedelta
from pathlib import Path

import pytest
from bay import START, T1, T2, load_small
from on_disk import act, kinds, last_moment, open_up, walk

from baycompanion.job.actions import Note
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.state.state import State
from baycompanion.procedure.load import Loaded, load_procedure
from baycompanion.store.job.folder import PINNED, pinned_path, read_job, record_of
from baycompanion.store.job.journal import NAME
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

LATER = timedelta(hours=3)


def newer(old: str = "at-most: 12.90", new: str = "at-most: 12.95", revision: int = 4) -> Loaded:
    """Return a newer revision of the small procedure with one limit changed."""
    text = load_small().pinned_text
    assert old in text, old
    text = text.replace("revision: '3'", f"revision: '{revision}'").replace(old, new)
    loaded = load_procedure(text, "newer.yaml")
    assert loaded.procedure.revision == revision
    return loaded


@pytest.fixture
def revised(folder: Path) -> Path:
    """Return the folder of a job that was moved to a newer revision."""
    job = walk(open_up(folder), "route")
    result = job.revise(newer(_limit(), "at-most: '12.95'"), "new bulletin", T1, START + LATER)
    assert isinstance(result, State)
    job.leave()
    return folder


def _limit() -> str:
    return "at-most: '12.90'"


def test_both_revisions_lie_beside_the_journal_and_the_job_follows_the_newer(
    revised: Path,
) -> None:
    """R55."""
    assert (revised / PINNED).read_text(encoding="utf-8") == load_small().pinned_text
    job = read_job(revised)
    assert (job.procedure.revision, job.state.opened.revision) == (4, 4)
    assert job.state.current == "rest-voltage"
    assert record_of(job).revisions[0].changed == ["rest-voltage"]
    reopened = open_up(revised, after=60)
    assert reopened.procedure.revision == 4
    act(reopened, Note(note="goes on"))
    reopened.leave()


def test_a_refused_move_leaves_no_second_file(folder: Path) -> None:
    job = walk(open_up(folder), "route")
    loaded = newer(_limit(), "at-most: '12.95'")
    for who, words in ((T2, "w"), (T1, "")):
        assert isinstance(job.revise(loaded, words, who, START + LATER), Refused)
    assert not pinned_path(folder, 1).exists()
    assert job.procedure.revision == 3
    job.leave()


def test_what_a_crash_left_pinned_without_its_event_is_written_over(folder: Path) -> None:
    walk(open_up(folder), "route").leave()
    pinned_path(folder, 1).write_text("half", encoding="utf-8")
    job = open_up(folder, after=60)
    assert job.procedure.revision == 3
    moved = job.revise(newer(_limit(), "at-most: '12.95'"), "w", T1, last_moment(folder) + LATER)
    assert isinstance(moved, State)
    job.leave()
    assert read_job(folder).procedure.revision == 4


def test_a_newer_revision_with_errors_is_not_followed(folder: Path) -> None:
    job = walk(open_up(folder), "route")
    with pytest.raises(BadFile):
        job.revise(newer("done: stations", "done: nowhere"), "w", T1, START + LATER)
    assert "revised" not in kinds(folder)
    job.leave()


def test_a_second_pinned_file_that_was_changed_is_refused(revised: Path) -> None:
    path = pinned_path(revised, 1)
    path.write_text(path.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    with pytest.raises(StoreTrouble, match="was changed after the job began"):
        read_job(revised)
    assert (revised / NAME).exists()
