"""The files of one job as an audit reads them: each with its hash, and its stamp from before."""

import hashlib
import os
import stat
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from baycompanion.store.reading import read_bytes, read_kept
from baycompanion.store.trouble import StoreTrouble


class Stamp(NamedTuple):
    """What the system says of a file that is there, without its content: it can be forged."""

    size: int
    modified: int
    """When it was written, in nanoseconds since 1970, UTC."""
    changed: int
    """When anything about it changed, in nanoseconds; on Windows when it was made."""


class FileSeen(NamedTuple):
    """One file that an audit has read, or has looked for in vain."""

    name: str
    """Below the folder of the job, like photos/1.jpg."""
    stamp: Stamp | None
    """From before it was read; None where it was not there."""
    sha256: str = ""
    """The hash of its content, in hex."""


def kept_at(path: str) -> os.stat_result | None:
    """Return what the system says of the file at `path`, None where there is none.

    Raises:
        OSError: The system does not say.
    """
    try:
        return os.stat(path)  # noqa: PTH116  # a second audit does little else
    except (FileNotFoundError, NotADirectoryError):
        return None


def stamp_of(kept: os.stat_result | None) -> Stamp | None:
    """Return the stamp of a file of which the system says `kept`, None where there is none."""
    return None if kept is None else Stamp(kept.st_size, kept.st_mtime_ns, kept.st_ctime_ns)


def have_stamps(folder: str, files: Iterable[FileSeen]) -> bool:
    """Return whether every one of `files`, of the job in `folder`, still has the stamp it had."""
    try:
        return all(stamp_of(kept_at(f"{folder}/{each.name}")) == each.stamp for each in files)
    except OSError:
        return False


def are_same(folder: str, files: Sequence[FileSeen]) -> bool:
    """Return whether `files`, of the job in `folder`, have stamp and content that they had."""
    now = JobFiles(Path(folder))
    try:
        for each in files:
            now.hash_of(each.name)
    except (StoreTrouble, OSError):
        return False
    return list(now.seen.values()) == list(files)


class JobFiles:
    """The folder of one job; it remembers what was read of it, and in which state."""

    def __init__(self, folder: Path) -> None:
        """Begin with nothing read."""
        self.folder = folder
        self._at = f"{folder}/"
        self.seen: dict[str, FileSeen] = {}
        """By name, what was read or looked for."""
        self._texts: dict[str, bytes] = {}

    def has(self, name: str) -> bool:
        """Return whether there is something of that name; its absence is remembered, too."""
        there = kept_at(self._at + name) is not None
        if not there:
            self.seen[name] = FileSeen(name, None)
        return there

    def is_plain(self, name: str) -> bool:
        """Return whether a plain file of that name is there; what is there else is remembered."""
        kept = kept_at(self._at + name)
        plain = kept is not None and stat.S_ISREG(kept.st_mode)
        if not plain:
            self.seen[name] = FileSeen(name, stamp_of(kept))
        return plain

    def read(self, name: str) -> bytes:
        """Return what is in the file called `name`; from the second time on, the same again.

        Raises:
            StoreTrouble: It cannot be read.
        """
        if name not in self._texts:
            self._texts[name] = self._read(name)
        if self.seen[name].stamp is None:
            read_bytes(self.folder / name)  # which says that it is not there
        return self._texts[name]

    def hash_of(self, name: str) -> str:
        """Return the SHA-256, in hex, of the file called `name`, and keep nothing else of it.

        It is empty where there is nothing of that name.

        Raises:
            StoreTrouble: It is there and cannot be read.
        """
        self._read(name)
        return self.seen[name].sha256

    def _read(self, name: str) -> bytes:
        path = self._at + name
        kept = kept_at(path)  # before the content: what is written meanwhile shows in it
        content = b"" if kept is None else read_kept(path, kept)
        sha256 = "" if kept is None else hashlib.sha256(content).hexdigest()
        self.seen[name] = FileSeen(name, stamp_of(kept), sha256)
        return content
