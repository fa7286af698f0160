"""`baycompanion` alone: the bay board."""

import gc
from datetime import datetime
from typing import TYPE_CHECKING

from baycompanion.commands.opening import in_terminal, opened, shop_folder, typed_again
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import talk

if TYPE_CHECKING:
    from baycompanion.working.board.keeping import BoardShown


def open_board(chosen: Chosen) -> int:
    """Open the bay board of the shop; without a terminal, say what to type instead."""
    if chosen.by_lines:
        from baycompanion.plain.run import talk_board

        return talk_board(opened(chosen))
    if not in_terminal():
        talk(f"The bay board needs a terminal. For a list, type: {typed_again('jobs', chosen)}")
        return Exit.REFUSED
    gc.disable()  # a tenth of the time until the board stands; then it is looked again
    try:
        from baycompanion.screens.run import run_board

        return run_board(lambda: opened(chosen), lambda now: _until_read(chosen, now))
    finally:
        gc.enable()


def _until_read(chosen: Chosen, now: datetime) -> "BoardShown | None":
    """Return what the board of this command line's shop shows until its jobs have been read."""
    from baycompanion.working.board.glance import board_glanced
    from baycompanion.working.board.keeping import board_kept

    folder = shop_folder(chosen)
    return board_kept(folder, now) or board_glanced(folder)
