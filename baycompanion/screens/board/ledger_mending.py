"""Entering what ended and was left out of the ledger: in a thread, so that no list waits for it."""

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from textual.message import Message
from textual.widget import Widget

if TYPE_CHECKING:
    from baycompanion.store.shop import Shop


class LedgerMended(Message, bubble=False):
    """Some jobs could not be entered; it is told why not."""

    def __init__(self, why_not: str) -> None:
        super().__init__()
        self.why_not = why_not


def mend(asking: Widget, shop: "Shop", now: Callable[[], datetime]) -> None:
    """Enter what is missing in the ledger of `shop`, and tell `asking` where that cannot be."""

    def enter() -> None:
        from baycompanion.working.board.entering import mend_ledger

        why_not = mend_ledger(shop, now())
        if why_not:
            asking.post_message(LedgerMended(why_not))

    asking.call_after_refresh(asking.run_worker, enter, thread=True)
