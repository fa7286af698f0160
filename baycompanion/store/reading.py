"""Reading a text file whole, with one sentence when it cannot be read."""

import hashlib
import os
import stat
from pathlib import Path

from baycompanion.store.trouble import StoreTrouble, because

LARGEST = 50_000_000
"""Bytes of the largest text file that is read."""


def read_bytes(path: Path) -> bytes:
    """Return what is in the file at `path`.

    Raises:
        StoreTrouble: It is missing, unreadable, no plain file, or larger than `LARGEST`.
    """
    try:
        return _whole(path, path.stat())
    except (OSError, ValueError) as error:
        raise _unread(path, error) from None


def files_in(folder: Path, suffix: str) -> list[Path]:
    """Return what in `folder` has a name that ends in `suffix`, in order; nothing without a folder.

    Raises:
        StoreTrouble: There is such a folder, and it cannot be looked into. Whoever took it for
            empty would go by something else than what lies there.
    """
    try:
        return sorted(path for path in folder.iterdir() if path.suffix == suffix)
    except (FileNotFoundError, NotADirectoryError, ValueError):  # the last: no file name
        return []
    except OSError as error:
        raise StoreTrouble(f"{folder} cannot be read: {because(error)}.") from None


def read_kept(path: str, kept: os.stat_result) -> bytes:
    """Return what is in the file at `path`; `kept` is what the system has just said of it.

    Raises:
        StoreTrouble: As `read_bytes`.
    """
    try:
        return _whole(path, kept)
    except (OSError, ValueError) as error:
        raise _unread(path, error) from None


def hash_of_file(path: Path) -> str:
    """Return the SHA-256 of the file at `path`, in hex; it is read piece by piece.

    Raises:
        StoreTrouble: It is missing, unreadable or no plain file.
    """
    try:
        refuse_special(path, path.stat())
        with path.open("rb", buffering=0) as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError) as error:
        raise _unread(path, error) from None


def _whole(path: Path | str, kept: os.stat_result) -> bytes:
    refuse_special(path, kept)
    if kept.st_size > LARGEST:
        raise StoreTrouble(f"{path} is larger than {LARGEST // 1_000_000} MB and is not read.")
    with open(path, "rb", buffering=0) as file:  # noqa: PTH123  # an audit does little else
        return file.readall()


def _unread(path: Path | str, error: OSError | ValueError) -> StoreTrouble:
    """Return in a sentence why the file at `path` is not read."""
    if isinstance(error, FileNotFoundError):
        return StoreTrouble(f"There is no file {path}. Check the name.")
    if isinstance(error, OSError):
        return StoreTrouble(f"{path} cannot be read: {because(error)}.")
    return StoreTrouble("That is no file name.")  # a NUL in it


def refuse_special(path: Path | str, kept: os.stat_result) -> None:
    """Refuse a device or a pipe, which may have no end; `kept` is what the system says of it.

    Raises:
        StoreTrouble: The file at `path` is one, or is a folder.
    """
    if not stat.S_ISREG(kept.st_mode):
        raise StoreTrouble(f"{path} is no plain file. Give a file that holds text.")


def read_text(path: Path) -> str:
    """Return the UTF-8 text in the file at `path`, with line ends as they stand.

    Raises:
        StoreTrouble: As `read_bytes`, or it is not UTF-8, with the line.
    """
    return as_text(read_bytes(path), path)


def as_text(content: bytes, path: Path) -> str:
    """Return the UTF-8 text in `content`, which was read from the file at `path`.

    Raises:
        StoreTrouble: It is not UTF-8, with the line.
    """
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise StoreTrouble(
            f"{path}:{line}: This is not UTF-8 text. Save the file as UTF-8."
        ) from None
