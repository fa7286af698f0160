"""Making things durable: flushed to the disk, the folder with them where the system can."""

import contextlib
import errno
import os
import stat
from collections.abc import Iterator
from contextvars import ContextVar
from pathlib import Path

from baycompanion.store.trouble import StoreTrouble, because

_FLUSHING: ContextVar[bool] = ContextVar("flushing", default=True)


@contextlib.contextmanager
def made_again_at_will() -> Iterator[None]:
    """Let the system choose when to write: for data that can be made again, never for a job.

    A flush is most of the time that a played job takes.
    """
    before = _FLUSHING.set(False)
    try:
        yield
    finally:
        _FLUSHING.reset(before)


def flush(descriptor: int) -> None:
    """Return when what was written to `descriptor` is on the disk."""
    if _FLUSHING.get():
        os.fsync(descriptor)


def flush_folder(folder: Path) -> None:
    """Make the entries of `folder` durable, after a file was made or renamed in it.

    Windows keeps a folder's entries with the file itself and cannot flush a folder.
    """
    if os.name == "nt" or not _FLUSHING.get():
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def through_no_link(path: Path) -> Path:
    """Return `path`, where something is about to be written, unless a link stands there.

    Whoever can write in a shop could else let this program write wherever its user can.

    Raises:
        OSError: It is a link.
    """
    if path.is_symlink():
        raise OSError(errno.ELOOP, "it is a link, and nothing is written through one")
    return path


def write_whole(path: Path, content: bytes) -> None:
    """Put `content` at `path` so that a reader sees the old file or the new one, never a part.

    Raises:
        StoreTrouble: It cannot be written; the old file stands.
    """
    _refuse_special(path)
    half = path.with_name(f".{path.name}.part")
    try:
        with through_no_link(half).open("wb") as file:
            file.write(content)
            file.flush()
            flush(file.fileno())
        half.replace(path)
        flush_folder(path.parent)
    except OSError as error:
        with contextlib.suppress(OSError):
            half.unlink(missing_ok=True)
        raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None


def _refuse_special(path: Path) -> None:
    """Refuse to put a file in the place of a device or a pipe: `/dev/stdout` is worth keeping.

    Raises:
        StoreTrouble: There is one, itself or behind a link.
    """
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):  # nothing is there, or writing says what is wrong
        return
    if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):
        raise StoreTrouble(f"{path} is no plain file and is not written over. Name another.")


def write_new(path: Path, content: bytes) -> None:
    """Put `content` at `path`, where nothing may be yet; what is there stays as it is.

    Raises:
        StoreTrouble: Something is there, or it cannot be written.
    """
    try:
        with path.open("xb") as file:
            file.write(content)
            file.flush()
            flush(file.fileno())
        flush_folder(path.parent)
    except FileExistsError:
        raise StoreTrouble(f"{path} is there already. Choose another name.") from None
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None
