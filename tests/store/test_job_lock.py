"""One writer at a time: another process holds the lock, dies, or leaves it where it cannot be."""

import contextlib
import errno
import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.metadata import version
from pathlib import Path

import pytest
from bay import LISTS, S1, START, T1
from filelock import FileLock
from on_disk import act, kinds
from test_refusing_disk import failing

from baycompanion.job.actions import Accept
from baycompanion.job.hands_actions import HandOver
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.lock import HOLDER, LOCK, JobLock
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.trouble import StoreTrouble

HOLD = """
import sys
from pathlib import Path
from baycompanion.store.job.lock import JobLock
lock = JobLock(Path(sys.argv[1]), "S1", "2026-03-02T08:05:00.000Z")
print("held", flush=True)
sys.stdin.read()
lock.release()
"""


@contextmanager
def another_process_holds(folder: Path) -> Iterator[subprocess.Popen[str]]:
    """Let another process hold the lock of `folder` for as long as the block runs."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdin is not None
    assert process.stdout is not None
    try:
        assert process.stdout.readline() == "held\n"
        yield process
    finally:
        process.stdin.close()
        process.wait(30)
        process.stdout.close()


def refused(folder: Path) -> str:
    with pytest.raises(StoreTrouble) as trouble:
        OpenJob(folder, LISTS, T1, START)
    return str(trouble.value)


def test_a_job_that_another_process_has_open_says_who_where_and_since_when(folder: Path) -> None:
    with another_process_holds(folder):
        host = json.loads((folder / HOLDER).read_bytes())["host"]
        assert refused(folder) == (
            f"This job is open with S1 on {host} since 2026-03-02 08:05 UTC. "
            "Close it there first; here it can only be read."
        )
        assert read_job(folder).state.technician == "T1"
    OpenJob(folder, LISTS, T1, START).leave()


def test_the_lock_of_a_process_that_died_is_free(folder: Path) -> None:
    with another_process_holds(folder) as process:
        process.kill()
        process.wait(30)
        assert (folder / HOLDER).exists(), "it could not tidy up any more"
        job = OpenJob(folder, LISTS, T1, START)
        assert json.loads((folder / HOLDER).read_bytes())["by"] == "T1"
        job.leave()
    assert not (folder / HOLDER).exists()


def test_a_job_is_open_only_once_in_one_process_too(folder: Path) -> None:
    job = OpenJob(folder, LISTS, S1, START)
    assert "This job is open with S1" in refused(folder)
    job.leave()
    OpenJob(folder, LISTS, T1, START).leave()


def test_a_job_that_changed_hands_while_it_is_open_names_who_has_it_now(folder: Path) -> None:
    job = OpenJob(folder, LISTS, T1, START)
    hand = HandOver(hand_over="T2", words="dentist", loose="nothing", first="the presets")
    act(job, Accept(accept="hazards"), hand)
    assert job.state.technician == "T2"
    assert refused(folder).startswith("This job is open with T2 on ")
    job.leave()


def test_a_refused_opening_leaves_the_holder_alone(folder: Path) -> None:
    job = OpenJob(folder, LISTS, S1, START)
    before = (folder / HOLDER).read_bytes(), (folder / NAME).read_bytes()
    refused(folder)
    assert ((folder / HOLDER).read_bytes(), (folder / NAME).read_bytes()) == before
    job.leave()
    assert kinds(folder) == ["opened"]


@pytest.mark.parametrize(
    ("holder", "who"),
    [
        (None, "another window"),
        (b"", "another window"),
        (b"[]", "another window"),
        (b"7", "another window"),
        (b'{"by":"S1"}', "another window"),
        (b"\xff\xfe", "another window"),
        (b"[" * 100_000, "another window"),
        (b'{"by":"S1","host":"h","at":["x"]}', "S1 on h since "),
        (b'{"by":"S1","host":["x"],"at":"2026-03-02T08:05"}', "S1 on ['x'] since "),
        (b'{"by":"\\u001b[2J","host":"h","at":"2026-03-02T08:05"}', "\N{REPLACEMENT CHARACTER}[2J"),
    ],
    ids=range(10),
)
def test_whatever_stands_in_the_note_of_the_holder_gives_one_sentence(
    folder: Path, holder: bytes | None, who: str
) -> None:
    lock = JobLock(folder, "S1", "2026-03-02T08:05:00.000Z")
    (folder / HOLDER).unlink()
    if holder is not None:
        (folder / HOLDER).write_bytes(holder)
    said = refused(folder)
    assert said.startswith(f"This job is open with {who}")
    assert said.isprintable()
    lock.release()


def test_a_lock_that_cannot_be_taken_says_why(folder: Path) -> None:
    (folder / LOCK).mkdir()
    assert refused(folder).startswith(f"{folder} cannot be locked: ")


def test_a_holder_on_another_machine_is_named_with_what_to_do_if_it_crashed(folder: Path) -> None:
    with another_process_holds(folder):
        holder = json.loads((folder / HOLDER).read_bytes())
        (folder / HOLDER).write_text(json.dumps({**holder, "host": "bay-laptop-2"}))
        assert refused(folder) == (
            "This job is open with S1 on bay-laptop-2 since 2026-03-02 08:05 UTC. "
            "Close it there first; here it can only be read. "
            "If that machine crashed, open the job there once and leave it."
        )


@pytest.mark.skipif(sys.platform == "win32", reason="locks in another way")
@pytest.mark.parametrize("number", [errno.ENOLCK, errno.EOPNOTSUPP])
def test_a_disk_that_refuses_locks_says_so(
    folder: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """As disks of the network do whose server has no locks, or none for this client."""
    monkeypatch.setattr("fcntl.flock", failing(number))
    assert refused(folder) == f"The disk of {folder} knows no locks. Use another disk."
    assert read_job(folder).state.technician == "T1"


WITHOUT_LOCKS = """
import errno, fcntl, sys
from pathlib import Path

def flock(*_):
    raise OSError(errno.ENOSYS, "Function not implemented")

fcntl.flock = flock
from baycompanion.store.job.lock import JobLock
from baycompanion.store.trouble import StoreTrouble
try:
    lock = JobLock(Path(sys.argv[1]), sys.argv[2], "2026-03-02T08:05:00.000Z")
except StoreTrouble as trouble:
    print(trouble, flush=True)
    sys.exit(1)
print("held", flush=True)
sys.stdin.read()
lock.release()
"""


def begin_without_locks(folder: Path, who: str) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-W", "error", "-c", WITHOUT_LOCKS, str(folder), who],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.skipif(sys.platform == "win32", reason="locks in another way")
@pytest.mark.skipif(
    int(version("filelock").partition(".")[0]) < 4, reason="knows no way round such a disk"
)
def test_on_a_disk_without_locks_a_file_stands_for_one_and_is_taken_from_the_dead(
    folder: Path,
) -> None:
    """Some disks of the network have no flock: the library keeps host and process in a file."""
    with begin_without_locks(folder, "S1") as first:
        assert first.stdout is not None and first.stdin is not None
        assert first.stdout.readline() == "held\n"
        said, noise = begin_without_locks(folder, "T2").communicate(timeout=60)
        assert said.startswith("This job is open with S1 on ")
        assert noise == "", "nothing is printed in the middle of a screen"
        first.kill()
        first.wait(30)
        assert (folder / LOCK).exists(), "the system frees nothing there"
        said, noise = begin_without_locks(folder, "T2").communicate("", timeout=60)
        assert (said, noise) == ("held\n", "")
        with contextlib.suppress(BrokenPipeError):
            first.stdin.close()


def test_a_disk_without_locks_says_so(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Older releases of the lock library say so with an exception of their own."""

    def acquire(*_: object, **__: object) -> None:
        raise NotImplementedError

    monkeypatch.setattr(FileLock, "acquire", acquire)
    assert refused(folder) == f"The disk of {folder} knows no locks. Use another disk."
