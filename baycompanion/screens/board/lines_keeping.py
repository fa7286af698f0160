"""Keeping the lines of the board for the next start: in a thread, so that nobody waits for it."""

from collections.abc import Callable
from datetime import datetime

from textual.widget import Widget

from baycompanion.store.shop import Shop
from baycompanion.working.board.keeping import keep_board


def keep_lines(asking: Widget, shop: Shop, now: Callable[[], datetime]) -> None:
    """Keep the lines of the board of `shop`, as its files now are, once `asking` is painted."""

    def keep() -> None:
        keep_board(shop, now())

    def begin() -> None:
        asking.run_worker(keep, thread=True, exclusive=True, group="lines")

    asking.call_after_refresh(begin)
