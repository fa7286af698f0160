"""Half-typed entries: kept for their step, never in the way, and never of a private one."""

import json
from pathlib import Path

import pytest
from on_disk import act, kinds, open_up, walk

from baycompanion.job.actions import Abandon
from baycompanion.store.job.draft import CARD

FIELDS = {"value": "12.", "words": "two\nlines \N{GRINNING FACE}"}


def test_a_half_typed_entry_is_there_again_after_a_restart(folder: Path) -> None:
    job = walk(open_up(folder), "rest-voltage")
    job.keep_draft("rest-voltage", FIELDS)
    job.leave()
    again = open_up(folder)
    assert again.draft_for("rest-voltage") == FIELDS
    assert again.draft_for("disconnect") == {}
    again.leave()


def test_a_draft_is_forgotten_when_there_is_nothing_in_it(folder: Path) -> None:
    job = open_up(folder)
    job.keep_draft("tools", FIELDS)
    job.keep_draft("tools", {})
    job.keep_draft("tools", {})
    assert job.draft_for("tools") == {}
    assert not (folder / CARD).exists()
    job.leave()


def test_what_is_typed_at_one_step_leaves_that_of_another_alone(folder: Path) -> None:
    job = open_up(folder)
    job.keep_draft("stations", FIELDS)
    job.keep_draft("promised", {"value": "2026"})
    job.keep_draft("promised", {})
    assert job.draft_for("promised") == {}
    assert job.draft_for("stations") == FIELDS
    job.leave()


def test_a_draft_of_older_files_which_held_one_step_is_read(folder: Path) -> None:
    (folder / CARD).write_text(json.dumps({"step": "tools", "fields": FIELDS}), encoding="utf-8")
    job = open_up(folder)
    assert job.draft_for("tools") == FIELDS
    assert job.draft_for("parts") == {}
    job.keep_draft("parts", {"value": "1"})
    assert job.draft_for("tools") == FIELDS
    job.leave()


def test_nothing_half_typed_outlives_its_job(folder: Path) -> None:
    job = open_up(folder)
    job.keep_draft("stations", FIELDS)
    act(job, Abandon(abandon="The owner took the car."))
    assert job.ended
    assert not (folder / CARD).exists()
    job.leave()


def test_a_private_entry_is_never_kept_half_typed(folder: Path) -> None:
    job = walk(open_up(folder), "code")
    job.keep_draft("odometer", FIELDS)
    job.keep_draft("code", {"value": "SECRET"})
    assert job.draft_for("code") == {}
    job.leave()
    files = [path for path in folder.rglob("*") if path.is_file()]
    assert all(b"SECRET" not in path.read_bytes() for path in files)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"[]",
        b"7",
        b"null",
        b'{"step":"tools"}',
        b'{"step":"tools","fields":7}',
        b'{"step":"tools","fields":["a"]}',
        b'{"steps":{"tools":7}}',
        b'{"steps":["tools"]}',
        b'{"step":["tools"],"fields":{"a":"b"}}',
        b"\xff\xfe\x00",
        b"[" * 100_000,
    ],
    ids=range(12),
)
def test_a_draft_that_cannot_be_read_is_no_draft(folder: Path, content: bytes) -> None:
    (folder / CARD).write_bytes(content)
    job = open_up(folder)
    assert job.draft_for("tools") == {}
    job.leave()


def test_a_draft_is_cleaned_as_it_is_read(folder: Path) -> None:
    """Invariant 6."""
    fields = {"\x1b": "\x1b]0;x\x07", "n": 5}
    (folder / CARD).write_text(json.dumps({"steps": {"tools": fields}}), encoding="utf-8")
    job = open_up(folder)
    kept = job.draft_for("tools")
    assert kept["n"] == "5"
    assert all(text.isprintable() for pair in kept.items() for text in pair)
    job.leave()


def test_a_draft_that_cannot_be_kept_is_not_worth_a_word(folder: Path) -> None:
    (folder / CARD).mkdir()
    job = open_up(folder)
    job.keep_draft("tools", FIELDS)
    job.keep_draft("tools", {})
    assert job.draft_for("tools") == {}
    job.leave()
    assert kinds(folder) == ["opened"]
