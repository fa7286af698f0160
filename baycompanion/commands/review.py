"""`review`: what an audit found, on a screen or line by line, and a supervisor's word for it."""

from collections.abc import Sequence

from baycompanion.commands.opening import in_terminal, shop_paths, typed_again
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import talk


def review_shops(chosen: Chosen, folders: Sequence[str]) -> int:
    """Review the shops in `folders`, or that of the command line; return the exit code."""
    paths = shop_paths(chosen, folders)
    if chosen.by_lines:
        from baycompanion.plain.run import talk_review

        return talk_review(paths)
    if not in_terminal():
        talk(f"The review needs a terminal. For a list, type: {typed_again('audit', chosen)}")
        return Exit.REFUSED
    from baycompanion.screens.run import run_review

    return run_review(paths)
