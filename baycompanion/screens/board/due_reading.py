"""Reading who has questions due: in a thread, after the first frame, so that nothing waits."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from textual.message import Message
from textual.widget import Widget
from textual.worker import get_current_worker

if TYPE_CHECKING:
    from baycompanion.store.shop import Shop


class DueRead(Message, bubble=False):
    """It was read how many questions are due, by staff id."""

    def __init__(self, due: Mapping[str, int]) -> None:
        super().__init__()
        self.due = due


def read_due(asking: Widget, shop: "Shop", now: Callable[[], datetime]) -> None:
    """Read what is due, and send it to `asking`; given up when `asking` goes away."""

    def read() -> None:
        from baycompanion.working.board.due_today import (
            due_today,  # with what it reads, in its thread
        )

        worker = get_current_worker()
        due = due_today(shop, now())
        if not worker.is_cancelled:
            asking.post_message(DueRead(due))

    def begin() -> None:
        asking.run_worker(read, thread=True, exclusive=True, group="due")

    asking.call_after_refresh(begin)
