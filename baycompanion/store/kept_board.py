"""The lines of the board as they stood last, beside the state of the files they were made from.

It is a file in the shop folder, and can be deleted at any time. What cannot be read, is damaged or
was made by another version of the program counts as nothing.
"""

import hashlib
import json
import os
from collections.abc import Collection
from pathlib import Path
from typing import NamedTuple

from baycompanion import __version__
from baycompanion.store.durable import made_again_at_will, write_whole
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble

NAME = "board-lines.json"

FORM = 2
"""The form of the file; one of another form counts as nothing."""

SETTINGS = "shop.yaml"
JOURNAL = "journal.jsonl"
PINNED = "procedure"
"""How the names of a job's pinned procedures begin."""


class KeptJob(NamedTuple):
    """A job under way as it was when its line was made, and when that can be believed."""

    folder: str
    """Its name."""
    state: str
    """The state of its journal and of the procedures that it has pinned, before they were read."""
    since: int
    """From which moment on its line is so, in milliseconds since 1970, UTC."""


class KeptBoard(NamedTuple):
    """The lines of a board, and what they rest on."""

    rest: str
    """The state of what they were made from but the jobs under way, before it was read."""
    under_way: tuple[KeptJob, ...]
    shop: str
    """The name of the shop."""
    lines: tuple[tuple[str, ...], ...]


class ShopState(NamedTuple):
    """The state of the files that a board is made from. Of each it is size and times.

    A journal grows with whatever happens in its job, so its size alone tells.
    """

    shop: Path
    settings: bytes
    journals: dict[str, bytes]
    """By the name of the job."""

    def of_job(self, job: str) -> str:
        """Return the state of the job of that name, with the procedures it has pinned by now.

        Raises:
            OSError: The folder of the job cannot be read.
        """
        folder = self.shop / "jobs" / job
        told = hashlib.sha256(self.journals[job])
        with os.scandir(folder) as entries:
            found = sorted(entry.name for entry in entries if entry.name.startswith(PINNED))
        for name in found:
            told.update(os.fsencode(f"{name}\0") + _stamp(folder / name))
        return told.hexdigest()

    def of_rest(self, jobs: Collection[str]) -> str:
        """Return the state of all but `jobs`, of which it only tells that they are there."""
        told = hashlib.sha256(self.settings)
        for name in sorted(self.journals):
            told.update(os.fsencode(f"{name}\0"))
            told.update(b"" if name in jobs else self.journals[name])
        return told.hexdigest()


def state_of_shop(shop: Path) -> ShopState:
    """Return the state of the settings of the shop in `shop`, and of every journal.

    Raises:
        OSError: The folder of the jobs cannot be read, or what lies in it.
        ValueError: A job lies behind a link.
    """
    settings = _stamp(shop / SETTINGS)
    jobs = os.path.join(shop, "jobs")  # noqa: PTH118 - a path for each of 1,000 jobs takes 5 ms
    with os.scandir(jobs) as entries:
        found = [(entry.name, entry.is_symlink()) for entry in entries]
    if any(link for _, link in found):
        raise ValueError("a link among the jobs")
    at = f"{jobs}{os.sep}"
    return ShopState(shop, settings, {n: _stamp(f"{at}{n}{os.sep}{JOURNAL}") for n, _ in found})


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
        rest, under_way, name, lines = content["board"]
        jobs = tuple(KeptJob(str(job), str(state), int(since)) for job, state, since in under_way)
        return KeptBoard(rest, jobs, str(name), tuple(tuple(map(str, line)) for line in lines))
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
