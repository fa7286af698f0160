"""The lines of the board as they stood last, beside the state of the files they were made from.

It is a file in the shop folder, and can be deleted at any time. What cannot be read, is damaged or
was made by another version of the program counts as nothing.
"""

import hashlib
import json
import os
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from baycompanion import __version__
from baycompanion.store.durable import made_again_at_will, write_whole
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble

NAME = "board-lines.json"

FORM = 1
"""The form of the file; one of another form counts as nothing."""

SETTINGS = "shop.yaml"
JOURNAL = "journal.jsonl"
PINNED = "procedure"
"""How the names of a job's pinned procedures begin."""


class KeptBoard(NamedTuple):
    """The lines of a board, and when they can be believed."""

    listed: str
    """The state of what the list was made from, before it was read."""
    pinned: str
    """The state of the procedures of the jobs under way, before they were read."""
    under_way: tuple[str, ...]
    """The folders of the jobs under way."""
    since: int
    """From which moment on they are so, in milliseconds since 1970, UTC."""
    until: int | None
    """Up to which moment, where there is one."""
    shop: str
    """The name of the shop."""
    lines: tuple[tuple[str, ...], ...]


def state_of_list(shop: Path) -> str:
    """Return the state of the settings of the shop in `shop`, and of every journal, as a hash.

    Of each file it holds size and times. A journal grows with whatever happens in its job, so its
    size alone tells.

    Raises:
        OSError: The folder of the jobs cannot be read, or what lies in it.
    """
    told = hashlib.sha256(_stamp(shop / SETTINGS))
    jobs = os.path.join(shop, "jobs")  # noqa: PTH118 - a path for each of 1,000 jobs takes 5 ms
    with os.scandir(jobs) as entries:
        found = sorted((entry.name, entry.is_symlink()) for entry in entries)
    for name, link in found:
        told.update(os.fsencode(f"{name}\0{link}\0"))
        told.update(_stamp(f"{jobs}{os.sep}{name}{os.sep}{JOURNAL}"))
    return told.hexdigest()


def state_of_pinned(shop: Path, jobs: Iterable[str]) -> str:
    """Return the state of the procedures that `jobs` of the shop in `shop` have pinned, as a hash.

    Raises:
        OSError: The folder of a job cannot be read.
    """
    told = hashlib.sha256()
    for job in jobs:
        with os.scandir(shop / "jobs" / job) as entries:
            found = sorted(entry.name for entry in entries if entry.name.startswith(PINNED))
        for name in found:
            told.update(os.fsencode(f"{job}\0{name}\0") + _stamp(shop / "jobs" / job / name))
    return told.hexdigest()


def _stamp(path: Path | str) -> bytes:
    """Return size and times of the file at `path`, or that there is none."""
    try:
        of = os.stat(path)  # noqa: PTH116
    except (FileNotFoundError, NotADirectoryError):
        return b"none\0"
    return b"%d %d %d %d\0" % (of.st_mode, of.st_size, of.st_mtime_ns, of.st_ctime_ns)


def read_kept(shop: Path) -> KeptBoard | None:
    """Return what is kept of the board of the shop in `shop`, None where there is nothing."""
    try:
        content = json.loads(read_bytes(shop / NAME))
        if content["hash"] != hash_of_board(content["board"]):
            return None
        listed, pinned, under_way, since, until, name, lines = content["board"]
        jobs, kept = tuple(map(str, under_way)), tuple(tuple(map(str, line)) for line in lines)
        ends = None if until is None else int(until)
        return KeptBoard(listed, pinned, jobs, int(since), ends, str(name), kept)
    except (StoreTrouble, ValueError, KeyError, TypeError, OverflowError, RecursionError):
        return None


def keep(shop: Path, board: KeptBoard) -> None:
    """Keep `board` in the shop in `shop`, in place of what was kept before.

    Raises:
        StoreTrouble: It cannot be written.
    """
    content = json.dumps({"board": board, "hash": hash_of_board(board)})
    with made_again_at_will():
        write_whole(shop / NAME, content.encode())


def hash_of_board(board: object) -> str:
    """Return a hash of a board and of the program that made it, for a file that was damaged."""
    told = json.dumps([FORM, __version__, board])
    return hashlib.sha256(told.encode()).hexdigest()
