"""When the disk refuses, it is said in a line, what was typed is kept, and it is saved later."""

import contextlib
import errno
import json
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from bay import T1
from listener import Clock, Typist

from baycompanion.plain.job import walk_job
from baycompanion.store.job.journal import JournalWriter
from baycompanion.store.shop import Shop

Walk = Callable[..., None]

SAYS = (
    "This could not be saved: no space left on device. "
    "Make room or plug the disk in, and try again."
)


class OnFullDisk(Typist):
    """Types on a disk that is full from one line on, until another one is typed."""

    full_from = -1
    full_until = -1

    @property
    def full(self) -> bool:
        return self.full_from < len(self.prompts) <= self.full_until


@pytest.fixture
def type_on_full_disk(
    shop: Shop, folder: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Typist]:
    """Return what types lines, of which those from one number to another meet a full disk."""

    def type_lines(full_from: int, full_until: int, *lines: str) -> Typist:
        typist = OnFullDisk(clock, deque(lines))
        typist.full_from, typist.full_until = full_from, full_until
        write = JournalWriter._write_all

        def half(self: JournalWriter, content: bytes) -> None:
            if not typist.full:
                write(self, content)
                return
            self._file.write(content[: len(content) // 2])
            raise OSError(errno.ENOSPC, "No space left on device")

        monkeypatch.setattr(JournalWriter, "_write_all", half)
        with contextlib.suppress(EOFError):
            walk_job(shop, folder, T1, typist, clock)
        return typist

    return type_lines


def last(folder: Path, kind: str) -> Any:
    lines = map(json.loads, (folder / "journal.jsonl").read_bytes().splitlines())
    return [event["data"] for event in lines if event["kind"] == kind][-1]


def test_a_value_is_typed_again_and_saved(
    type_on_full_disk: Callable[..., Typist], folder: Path, walk: Walk
) -> None:
    walk("gauges")
    before = (folder / "journal.jsonl").read_bytes()
    typist = type_on_full_disk(0, 1, "18,16")
    assert typist.heard.count(SAYS) == 1
    assert (folder / "journal.jsonl").read_bytes() == before
    typist = type_on_full_disk(0, 1, "18,16", "18,16")
    assert (typist.heard.count(SAYS), last(folder, "answered")["step"]) == (1, "gauges")


def test_a_list_keeps_its_entries(
    type_on_full_disk: Callable[..., Typist], folder: Path, walk: Walk
) -> None:
    walk("stations")
    typist = type_on_full_disk(2, 3, "88.1", "94.7", "", "?lines", "")
    assert typist.heard.count(SAYS) == 1
    assert typist.told("2. 94.7"), "both stand there still"
    assert last(folder, "answered")["entries"] == ["88.1", "94.7"]


def test_a_form_keeps_what_was_typed(
    type_on_full_disk: Callable[..., Typist], folder: Path, walk: Walk
) -> None:
    walk("gauges")
    typist = type_on_full_disk(1, 2, "?note", "a clip is cracked", "")
    assert typist.heard.count(SAYS) == 1
    assert any("Enter keeps “a clip is cracked”" in prompt for prompt in typist.prompts)
    assert last(folder, "noted")["words"] == "a clip is cracked"
