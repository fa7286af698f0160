"""Making things durable: flushed to the disk, the folder with them where the system can."""

import contextlib
import os
from pathlib import Path

from baycompanion.store.trouble import StoreTrouble, because


def flush(descriptor: int) -> None:
    """Return when what was written to `descriptor` is on the disk."""
    os.fsync(descriptor)


def flush_folder(folder: Path) -> None:
    """Make the entries of `folder` durable, after a file was made or renamed in it.

    Windows keeps a folder's entries with the file itself and cannot flush a folder.
    """
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def write_whole(path: Path, content: bytes) -> None:
    """Put `content` at `path` so that a reader sees the old file or the new one, never a part.

    Raises:
        StoreTrouble: It cannot be written; the old file stands.
    """
    half = path.with_name(f".{path.name}.part")
    try:
        with half.open("wb") as file:
            file.write(content)
            file.flush()
            flush(file.fileno())
        half.replace(path)
        flush_folder(path.parent)
    except OSError as error:
        with contextlib.suppress(OSError):
            half.unlink(missing_ok=True)
        raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None
