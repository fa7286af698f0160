"""A disk that refuses: nothing changes, one sentence says so, and the same key works again later.

The failures are injected below the store: in the file that it writes to, and in the calls by which
it flushes, renames and cuts.
"""

import builtins
import errno
import io
import json
import os
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from bay import LISTS, START, T1, keys_in, load_small
from on_disk import act, kinds, open_up, walk, walked_on_disk

from baycompanion.job.actions import (
    Accept,
    Action,
    Close,
    Note,
)
from baycompanion.store.durable import write_whole
from baycompanion.store.job.folder import (
    RECORD,
    list_jobs,
    make_job,
    read_job,
    record_of,
    write_record,
)
from baycompanion.store.job.journal import NAME, TORN, read_journal
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble

NOTE = Note(note="a note that has to reach the disk")


class FailingFile:
    """A file that takes `room` bytes more, in bites of `bite`, and then fails."""

    def __init__(self, file: io.FileIO, room: int, number: int, bite: int = 10**9) -> None:
        self.file, self.room, self.number, self.bite = file, room, number, bite

    def write(self, content: memoryview) -> int:
        if self.room == 0:
            raise OSError(self.number, os.strerror(self.number))
        written = self.file.write(content[: min(self.room, self.bite)])
        self.room -= written
        return written

    def fileno(self) -> int:
        return self.file.fileno()

    def close(self) -> None:
        self.file.close()


@contextmanager
def failing_journal(job: OpenJob, room: int, number: int, bite: int = 10**9) -> Iterator[None]:
    writer: Any = job._journal
    good = writer._file
    writer._file = FailingFile(good, room, number, bite)
    try:
        yield
    finally:
        writer._file = good


def failing(number: int) -> Callable[..., None]:
    def fail(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    return fail


@contextmanager
def failing_call(monkeypatch: pytest.MonkeyPatch, owner: object, name: str, number: int) -> Any:
    with monkeypatch.context() as patched:
        patched.setattr(owner, name, failing(number))
        yield


def refused_by_disk(job: OpenJob, action: Action = NOTE) -> str:
    """Try `action`, which the disk refuses; return what was said, and see that nothing changed."""
    state, events = job.state, list(job.events)
    with pytest.raises(StoreTrouble) as trouble:
        act(job, action)
    assert (job.state, job.events) == (state, events)
    return str(trouble.value)


def works_again(job: OpenJob, before: list[str]) -> None:
    """Press the same key again, and see that the journal holds it once."""
    act(job, NOTE)
    assert kinds(job.folder) == [*before, "noted"]
    job.leave()
    assert list(read_job(job.folder).events) == job.events


@pytest.mark.parametrize(
    "number", [errno.ENOSPC, errno.EROFS, errno.EIO, errno.EDQUOT, errno.ENODEV]
)
@pytest.mark.parametrize("room", [0, 1, 100])
def test_a_failed_write_changes_nothing_and_can_be_tried_again(
    folder: Path, number: int, room: int
) -> None:
    job = walk(open_up(folder), "tools")
    content, before = (folder / NAME).read_bytes(), kinds(folder)
    with failing_journal(job, room, number):
        said = refused_by_disk(job)
    assert said == (
        f"This could not be saved: {os.strerror(number).lower()}. "
        "Make room or plug the disk in, and try again."
    )
    assert (folder / NAME).read_bytes() == content
    works_again(job, before)


def test_a_disk_that_takes_a_few_bytes_at_a_time_gets_all_of_them(folder: Path) -> None:
    job = walk(open_up(folder), "tools")
    with failing_journal(job, 10**6, errno.ENOSPC, bite=7):
        act(job, NOTE)
    job.leave()
    assert read_job(folder).state == job.state


def test_an_action_of_several_events_is_taken_back_whole(folder: Path) -> None:
    job = open_up(folder)
    content = (folder / NAME).read_bytes()
    with failing_journal(job, 300, errno.ENOSPC):
        refused_by_disk(job, Accept(accept="hazards"))
    assert (folder / NAME).read_bytes() == content
    act(job, Accept(accept="hazards"))
    assert kinds(folder) == ["opened", "hazards-accepted", "begun"]
    job.leave()


def test_a_failed_flush_counts_as_not_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Invariant 1: only what was flushed is on the disk."""
    job = walk(open_up(folder), "tools")
    content, before = (folder / NAME).read_bytes(), kinds(folder)
    with failing_call(monkeypatch, os, "fsync", errno.EIO):
        said = refused_by_disk(job)
    assert "could not be saved: input/output error." in said
    assert (folder / NAME).read_bytes() == content
    works_again(job, before)


def test_what_cannot_even_be_taken_back_is_torn_and_never_followed_by_more(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = walk(open_up(folder), "tools")
    whole = (folder / NAME).read_bytes()
    with (
        failing_journal(job, 40, errno.EIO),
        failing_call(monkeypatch, os, "truncate", errno.EIO),
    ):
        refused_by_disk(job)
    half = (folder / NAME).read_bytes()
    assert len(half) == len(whole) + 40
    assert "was changed by somebody else meanwhile. Open the job again." in refused_by_disk(job)
    assert (folder / NAME).read_bytes() == half
    job.leave()
    again = open_up(folder)
    assert (folder / TORN).read_bytes() == half[len(whole) :] + b"\n"
    works_again(again, kinds(folder))


def appended(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"{}\n")


def cut_short(path: Path) -> None:
    os.truncate(path, path.stat().st_size - 1)


def put_in_place(path: Path) -> None:
    """Do what a program does that keeps the folders of several machines alike."""
    copy = path.with_name("copy")
    copy.write_bytes(path.read_bytes())
    copy.replace(path)


@pytest.mark.parametrize("change", [appended, cut_short, put_in_place])
@pytest.mark.skipif(os.name == "nt", reason="an open file cannot be replaced there")
def test_nothing_is_added_to_a_file_that_changed_underneath(
    folder: Path, change: Callable[[Path], None]
) -> None:
    """Invariant 1: two writers get a refusal, not a fork."""
    job = walk(open_up(folder), "tools")
    change(folder / NAME)
    content = (folder / NAME).read_bytes()
    said = refused_by_disk(job)
    assert said == f"{folder / NAME} was changed by somebody else meanwhile. Open the job again."
    assert (folder / NAME).read_bytes() == content
    job.leave()


@pytest.mark.skipif(os.name == "nt", reason="an open file cannot be taken away there")
def test_nothing_is_added_to_a_file_that_was_taken_away(folder: Path) -> None:
    job = walk(open_up(folder), "tools")
    (folder / NAME).rename(folder / "elsewhere")
    assert "could not be saved: no such file or directory." in refused_by_disk(job)
    assert not (folder / NAME).exists()
    (folder / "elsewhere").rename(folder / NAME)
    works_again(job, kinds(folder))


@pytest.mark.skipif(sys.platform == "win32", reason="has no limit on the size of a file")
def test_a_real_limit_of_the_system_is_survived_too(folder: Path) -> None:
    import resource

    job = walk(open_up(folder), "tools")
    before, size = kinds(folder), (folder / NAME).stat().st_size
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size + 50, hard))
    try:
        assert "could not be saved: file too large." in refused_by_disk(job)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert (folder / NAME).stat().st_size == size
    works_again(job, before)


@pytest.mark.parametrize(
    ("owner", "name"), [(os, "fsync"), (Path, "replace"), (Path, "open")], ids=str
)
def test_a_record_is_the_old_one_or_the_new_one_never_a_part(
    folder: Path, monkeypatch: pytest.MonkeyPatch, owner: object, name: str
) -> None:
    walked_on_disk(folder, "tools")
    path = write_record(folder, record_of(read_job(folder)))
    old = path.read_bytes()
    walked_on_disk(folder, "join")
    record = record_of(read_job(folder))
    with (
        failing_call(monkeypatch, owner, name, errno.ENOSPC),
        pytest.raises(StoreTrouble, match=r"record.json cannot be written: no space left"),
    ):
        write_record(folder, record)
    assert path.read_bytes() == old
    assert sorted(each.name for each in folder.iterdir()) == sorted(
        [NAME, "procedure.yaml", RECORD]
    )
    write_record(folder, record)
    assert json.loads(path.read_bytes())["last_hash"] == record.last_hash


def test_a_record_is_flushed_and_so_is_its_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Invariant 1: the content before the name, and the name with its folder."""
    happened: list[str] = []
    fsync, replace = os.fsync, Path.replace

    def watched_fsync(descriptor: int) -> None:
        is_folder = stat.S_ISDIR(os.fstat(descriptor).st_mode)
        happened.append("folder flushed" if is_folder else "file flushed")
        fsync(descriptor)

    def watched_replace(path: Path, target: Path) -> Path:
        happened.append("replaced")
        return replace(path, target)

    monkeypatch.setattr(os, "fsync", watched_fsync)
    monkeypatch.setattr(Path, "replace", watched_replace)
    write_whole(tmp_path / "record.json", b"{}")
    folder = [] if os.name == "nt" else ["folder flushed"]
    assert happened == ["file flushed", "replaced", *folder]


def test_a_job_that_closed_without_its_record_says_so_and_writes_it_when_opened_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walked_on_disk(folder, None)
    job = open_up(folder)
    with (
        failing_call(monkeypatch, Path, "replace", errno.ENOSPC),
        pytest.raises(StoreTrouble) as trouble,
    ):
        act(job, Close(close="keys back"))
    assert str(trouble.value).startswith("The job is closed, but not its record: ")
    assert "open the job again" in str(trouble.value)
    assert job.state.status == "closed"
    assert kinds(folder)[-1] == "closed"
    assert not (folder / RECORD).exists()
    job.leave()
    open_up(folder).leave()
    assert json.loads((folder / RECORD).read_bytes())["status"] == "closed"


@pytest.mark.parametrize("name", ["fsync", "open", "replace"])
def test_a_job_that_could_not_be_made_is_not_listed(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    owner = os if name == "fsync" else Path
    with (
        failing_call(monkeypatch, owner, name, errno.ENOSPC),
        pytest.raises(StoreTrouble, match="no space left"),
    ):
        make_job(shop.jobs, load_small(), keys_in())
    assert list(list_jobs(shop.jobs)) == []
    assert make_job(shop.jobs, load_small(), keys_in()).is_dir()


def test_a_job_that_cannot_be_opened_for_writing_gives_its_lock_back(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: list[object] = []  # each trouble holds on to the frames in which it came up
    for owner, name in ((os, "fsync"), (builtins, "open"), (Path, "open"), (Path, "replace")):
        with (
            failing_call(monkeypatch, owner, name, errno.EACCES),
            pytest.raises(StoreTrouble, match="permission denied") as trouble,
        ):
            OpenJob(folder, LISTS, T1, START)
        kept.append(trouble)
        OpenJob(folder, LISTS, T1, START).leave()


@pytest.mark.skipif(
    os.name == "nt" or os.geteuid() == 0, reason="there a folder cannot be made read-only"
)
def test_a_read_only_folder_can_be_read_but_not_opened(folder: Path) -> None:
    content = walked_on_disk(folder, "tools")
    folder.chmod(0o500)
    (folder / NAME).chmod(0o400)
    try:
        assert read_job(folder).state.current == "tools"
        with pytest.raises(StoreTrouble, match="permission denied"):
            open_up(folder)
        with pytest.raises(StoreTrouble, match="permission denied"):
            write_record(folder, record_of(read_job(folder)))
        assert (folder / NAME).read_bytes() == content
    finally:
        folder.chmod(0o700)
    assert read_journal(folder / NAME).torn == b""
