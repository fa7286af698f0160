"""The lines of a board of which nothing was kept: which jobs there are, before a model is loaded.

They are what the two ends of the journals say, and stand until the jobs have been read, which
begins at once. Where one of them needs more than a glance, there is nothing to be shown.
"""

import os
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from baycompanion.job.events.chain import FIRST_PREV, MEMBERS, hash_event, parsed
from baycompanion.store.job.journal_ends import UNDER_WAY, End, written_ends
from baycompanion.store.kept_board import JOURNAL
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_sentence
from baycompanion.views.board.line import (
    BEING_READ,
    MOST_ENDED,
    BoardLine,
    ended_text,
    laid_out,
    which_job,
)
from baycompanion.working.board.keeping import BoardShown


class _Glanced(NamedTuple):
    """A job of which nothing but the ends of its journal was looked at, to be sorted by time."""

    at: str
    folder: str
    first: dict[str, Any]
    """Its first event as the line has it."""
    end: End


def board_glanced(folder: Path) -> BoardShown | None:
    """Return the lines of the board of the shop in `folder`; None where a glance is not enough."""
    try:
        jobs = sorted(_glanced(folder / "jobs"), key=lambda job: job[:2], reverse=True)
        under_way = [job for job in jobs if job.end.status == UNDER_WAY]
        ended = [job for job in jobs if job.end.status != UNDER_WAY][:MOST_ENDED]
        lines = laid_out(map(_under_way, under_way), (), map(_ended, ended), ())
    except (OSError, StoreTrouble, ValueError, LookupError, TypeError, AttributeError):
        return None
    return BoardShown("", lines)


def _glanced(jobs: Path) -> Iterator[_Glanced]:
    """Yield the jobs below `jobs`.

    Raises:
        OSError: The folder, or what lies in it, cannot be read.
        StoreTrouble: A journal cannot be read.
        ValueError: A job is no folder of its own, or its journal begins with no JSON.
    """
    with os.scandir(jobs) as entries:
        for entry in entries:
            journal = f"{entry.path}{os.sep}{JOURNAL}"
            if not _is_file(journal):
                continue
            if entry.is_symlink() or clean_sentence(entry.name) != entry.name:
                raise ValueError(entry.name)
            line, end = written_ends(journal)
            first = parsed(line)
            yield _Glanced(first["at"], entry.name, first, end)


def _is_file(path: str) -> bool:
    try:
        return stat.S_ISREG(os.stat(path).st_mode)  # noqa: PTH116 - sooner than by a path
    except (FileNotFoundError, NotADirectoryError):
        return False


def _under_way(job: _Glanced) -> BoardLine:
    return BoardLine("job", clean_sentence(_which(job)), BEING_READ, job.folder)


def _ended(job: _Glanced) -> BoardLine:
    earlier = job.first["data"].get("earlier")
    back = earlier["work_order"] if earlier else None
    text = ended_text(job.at, _which(job), job.end.standing, back)
    return BoardLine("ended", clean_sentence(text), opens=job.folder)


def _which(job: _Glanced) -> str:
    """Return which job it is.

    Raises:
        ValueError: Its first line was changed, does not begin a job, or begins practice.
        KeyError, TypeError, AttributeError: It does not say which.
    """
    first, data = job.first, job.first["data"]
    if (
        first.keys() != MEMBERS
        or (first["seq"], first["kind"], first["prev"]) != (1, "opened", FIRST_PREV)
        or first["hash"] != hash_event(first)
        or data.get("practice") is not None
    ):
        raise ValueError(job.folder)
    return which_job(data["work_order"], data["vehicle"]["description"], data["title"])
