"""The line-by-line mode as a program: from its first line to its exit code."""

import contextlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.exits import Exit
from baycompanion.job.deciding.draft import Person
from baycompanion.plain.board import Board
from baycompanion.plain.terminal import Terminal
from baycompanion.store.shop import Shop
from baycompanion.working.wall_clock import local_now

if TYPE_CHECKING:
    from baycompanion.working.drilling import Sitting


def talk_board(shop: Shop) -> int:
    """Read the bay board of `shop` and go on from there; return the exit code."""
    with contextlib.suppress(EOFError):
        Board(shop, Terminal(), local_now).walk()
    return Exit.DONE


def talk_job(shop: Shop, folder: Path, who: Person | None) -> int:
    """Walk through the job in `folder` and go on from there; return the exit code.

    Raises:
        StoreTrouble: The job can neither be opened nor read.
        BadFile: The procedure that it began with cannot be read any more.
    """
    board = Board(shop, Terminal(), local_now)
    with contextlib.suppress(EOFError):
        board.walk_from(folder, who)
    return Exit.TROUBLE if board.only_read else Exit.DONE


def talk_practice(shop: Shop, asked: Mapping[str, str], in_full: bool) -> int:
    """Ask what is practised, or where it was `asked` `in_full` begin it; return the exit code.

    Raises:
        StoreTrouble: What was asked in full cannot be practised.
        BadFile: The procedure has errors.
    """
    from baycompanion.plain.practice import begin_by_lines

    lines = Terminal()
    with contextlib.suppress(EOFError):
        if begin_by_lines(shop, lines, local_now, asked, in_full) == "board":
            Board(shop, lines, local_now).walk()
    return Exit.DONE


def talk_review(folders: Sequence[Path]) -> int:
    """Read what an audit of the shops in `folders` finds, and go on from there; return the code."""
    from baycompanion.audit.review.reviewing import Reviewing  # with the audit, and only here
    from baycompanion.plain.review import PlainReview

    reviewing = Reviewing(folders, local_now)
    with contextlib.suppress(EOFError):
        PlainReview(reviewing, Terminal()).walk()
    return Exit.UNUSABLE if reviewing.unread else Exit.DONE


def talk_trainees(shop: Shop, who: str | None, procedure: str | None, by: str | None) -> int:
    """Read to `by` how the trainees of `shop` stand, and go on from there; return the code."""
    from baycompanion.plain.trainees import PlainTrainees  # with the scheduler, and only here

    with contextlib.suppress(EOFError):
        PlainTrainees(shop, Terminal(), local_now, who, procedure, by or "").walk()
    return Exit.DONE


def talk_drill(sitting: "Sitting") -> int:
    """Ask the questions of `sitting`; return the exit code."""
    from baycompanion.plain.drill import drill_proved  # with the scheduler, and only here

    with contextlib.suppress(EOFError):
        drill_proved(sitting, Terminal())
    return Exit.DONE
