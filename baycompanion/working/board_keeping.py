"""Keeping the lines of the board, so that they stand at the next start before any model is loaded.

They are shown only while every file that they rest on is as it was, and only until the jobs have
been read: that begins at once, whatever is shown meanwhile.
"""

import contextlib
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, cast

from baycompanion.job.moment import moment_of, whole_milliseconds
from baycompanion.store.kept_board import (
    KeptBoard,
    keep,
    read_kept,
    state_of_list,
    state_of_pinned,
)
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean, clean_line
from baycompanion.views.board_line import KINDS, BoardLine, Kind

if TYPE_CHECKING:  # with every model, which whoever shows what was kept has not loaded yet
    from baycompanion.store.shop import Shop


class BoardShown(NamedTuple):
    """A board as it was kept, to be shown."""

    shop: str
    """The name of the shop."""
    lines: tuple[BoardLine, ...]


def board_kept(folder: Path, now: datetime) -> BoardShown | None:
    """Return the lines kept of the shop in `folder`, None where they may not be true `now`."""
    kept = read_kept(folder)
    if kept is None or not _holds(kept, folder, whole_milliseconds(now)):
        return None
    try:
        lines = tuple(_line(*line) for line in kept.lines)
    except (TypeError, ValueError):
        return None
    return BoardShown(clean_line(kept.shop), lines)


def _line(kind: str, text: str, told: str, opens: str) -> BoardLine:
    """Return a line of the file, cleaned like any text from outside.

    Raises:
        ValueError: It is of no kind known here.
    """
    if kind not in KINDS:
        raise ValueError
    return BoardLine(cast("Kind", kind), clean_line(text), clean(told), opens)


def _holds(kept: KeptBoard, folder: Path, now: int) -> bool:
    if now < kept.since or (kept.until is not None and now > kept.until):
        return False
    return _as_it_was(kept, folder)


def _as_it_was(kept: KeptBoard, folder: Path) -> bool:
    try:
        listed = state_of_list(folder) == kept.listed
        return listed and state_of_pinned(folder, kept.under_way) == kept.pinned
    except (OSError, ValueError):
        return False


def keep_board(shop: "Shop", now: datetime) -> None:
    """Keep the lines of the board of `shop`, unless those that are kept are still true.

    A board with anything on it that cannot be read is not kept, nor where the disk refuses.
    """
    from baycompanion.text.problem import BadFile

    kept = read_kept(shop.folder)
    if kept is not None and _as_it_was(kept, shop.folder):
        return
    with contextlib.suppress(OSError, StoreTrouble, BadFile):
        board = _kept_of(shop.folder, now)
        if board is not None:
            keep(shop.folder, board)


def _kept_of(folder: Path, now: datetime) -> KeptBoard | None:
    """Return what is to be kept of the board of the shop in `folder`; states come before reading.

    The time that a job was worked at grows for a while after its last event. The lines are those
    of when that while is over for all jobs, and count from then on, up to the next such event: a
    clock that was set back can have left some ahead.
    """
    from baycompanion.job.timing import AWAY
    from baycompanion.store.job_folder import UNDER_WAY, JobListed, list_jobs
    from baycompanion.store.shop import open_shop
    from baycompanion.working.board_reading import board_lines, read_listed

    listed = state_of_list(folder)
    shop = open_shop(folder)
    jobs = list(list_jobs(shop.jobs))
    under_way = [j.folder.name for j in jobs if isinstance(j, JobListed) and j.status == UNDER_WAY]
    pinned = state_of_pinned(folder, under_way)
    board = read_listed(jobs)
    last = [job.read[1].last_ms for job in board.under_way if not isinstance(job.read, str)]
    present = whole_milliseconds(now)
    since = max((each + AWAY * 1000 for each in last if each <= present), default=0)
    until = min((each for each in last if each > present), default=None)
    when = max(now, moment_of(since).astimezone(now.tzinfo))
    lines = board_lines(board, when, {}, {})
    if any(line.kind == "trouble" for line in lines):
        return None
    return KeptBoard(listed, pinned, tuple(under_way), since, until, shop.name, lines)
