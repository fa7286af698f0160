"""Keeping the lines of the board, so that they stand at the next start before any model is loaded.

They are shown only while the files that they rest on are as they were, and only until the jobs have
been read: that begins at once, whatever is shown meanwhile. Of a job under way that has changed, or
was just worked at, nothing is shown but which one it is.
"""

import contextlib
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, cast

from baycompanion.job.events.moment import moment_of, whole_milliseconds
from baycompanion.store.kept_board import (
    KeptBoard,
    KeptJob,
    ShopState,
    keep,
    read_kept,
    state_of_shop,
)
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean, clean_line
from baycompanion.views.board.line import BEING_READ, KINDS, BoardLine, Kind

if TYPE_CHECKING:  # with every model, which whoever shows what was kept has not loaded yet
    from baycompanion.store.shop import Shop


class BoardShown(NamedTuple):
    """A board to be shown until its jobs have been read."""

    shop: str
    """The name of the shop; empty where that is not known yet."""
    lines: tuple[BoardLine, ...]


def board_kept(folder: Path, now: datetime) -> BoardShown | None:
    """Return the lines kept of the shop in `folder`, None where they may not be true `now`."""
    kept = read_kept(folder)
    if kept is None:
        return None
    try:
        news = _news(kept, state_of_shop(folder), whole_milliseconds(now))
        if news is None:
            return None
        lines = tuple(_line(*line) for line in kept.lines)
    except (OSError, TypeError, ValueError):
        return None
    shown = (_being_read(line) if line.opens in news else line for line in lines)
    return BoardShown(clean_line(kept.shop), tuple(shown))


def _line(kind: str, text: str, told: str, opens: str) -> BoardLine:
    """Return a line of the file, cleaned like any text from outside.

    Raises:
        ValueError: It is of no kind known here.
    """
    if kind not in KINDS:
        raise ValueError
    return BoardLine(cast("Kind", kind), clean_line(text), clean(told), opens)


def _being_read(line: BoardLine) -> BoardLine:
    """Return a line of a job that says no more than which one it is."""
    return line._replace(told=BEING_READ) if line.kind == "job" else line


def _news(kept: KeptBoard, state: ShopState, now: int | None = None) -> set[str] | None:
    """Return the jobs under way whose lines may not be true any more; None where more changed.

    Without `now`, only files are looked at.

    Raises:
        OSError: The folder of a job cannot be read.
    """
    jobs = {job.folder for job in kept.under_way}
    if not jobs <= state.journals.keys() or state.of_rest(jobs) != kept.rest:
        return None
    return {
        job.folder
        for job in kept.under_way
        if state.of_job(job.folder) != job.state or (now is not None and now < job.since)
    }


def keep_board(shop: "Shop", now: datetime) -> None:
    """Keep the lines of the board of `shop`, unless those that are kept are still true.

    A board with anything on it that cannot be read is not kept, nor where the disk refuses.
    """
    from baycompanion.text.problem import BadFile

    with contextlib.suppress(OSError, ValueError, OverflowError, StoreTrouble, BadFile):
        kept = read_kept(shop.folder)
        state = state_of_shop(shop.folder)
        if kept is not None and _news(kept, state) == set():
            return
        board = _kept_of(state, now)
        if board is not None:
            keep(shop.folder, board)


def _kept_of(state: ShopState, now: datetime) -> KeptBoard | None:
    """Return what is to be kept of the board of a shop, of which `state` was taken before.

    The time that a job was worked at grows for a while after its last event. Its line is that of
    when that while is over, after which nobody is taken to be at work, and counts from then on.
    """
    from baycompanion.job.state.timing import AWAY
    from baycompanion.store.job.folder import JobListed, list_jobs
    from baycompanion.store.job.journal_ends import UNDER_WAY
    from baycompanion.store.shop import open_shop
    from baycompanion.working.board.reading import board_lines, read_listed

    shop = open_shop(state.shop)
    jobs = list(list_jobs(shop.jobs))
    names = [j.folder.name for j in jobs if isinstance(j, JobListed) and j.status == UNDER_WAY]
    pinned = {name: state.of_job(name) for name in names}
    board = read_listed(jobs)
    since: dict[str, int] = {}
    for job in board.under_way:
        if isinstance(job.read, str):
            return None
        since[job.folder] = job.read[1].last_ms + (AWAY + 1) * 1000
    last = moment_of(max(since.values(), default=0))
    lines = board_lines(board, max(now, last.astimezone(now.tzinfo)), {}, {})
    if any(line.kind == "trouble" for line in lines):
        return None
    under_way = tuple(KeptJob(name, pinned[name], since[name]) for name in names)
    return KeptBoard(state.of_rest(pinned.keys()), under_way, shop.name, lines)
