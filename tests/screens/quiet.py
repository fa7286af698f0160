"""When an app under test has done all that a key set going, told by what its loop still has to do.

The library's own wait looks every 20 ms, twice a key, whether the processor was idle. That is slow,
since a whole job takes a thousand keys, and on a busy machine it is wrong: who gets no turn at the
processor looks idle too.
"""

from asyncio import get_running_loop, sleep
from time import monotonic
from typing import Any

from textual._context import active_app

SOON = 0.012
"""Seconds within which a timer that runs out belongs to what is being done, as painting and the
pace of a reader of codes do; a blinking cursor and the clock of a job do not."""

LONGEST = 10.0
"""Seconds after which a wait is given up; what the test looks for then tells what is missing."""


async def until_quiet(min_sleep: float = 0, max_sleep: float = LONGEST) -> None:
    """Wait until nothing is left to do now or soon; the library gives times that it need not."""
    loop: Any = get_running_loop()  # what is ready and what is due, no public name tells
    end = monotonic() + LONGEST
    while _has_to_do(loop) and monotonic() < end:
        await sleep(0 if loop._ready else 0.001)


def _has_to_do(loop: Any) -> bool:
    if active_app.get()._exit:  # it ends once the test lets it go on
        return False
    if loop._ready or any(not each.is_finished for each in active_app.get().workers):
        return True
    soon = loop.time() + SOON
    return any(not due.cancelled() and due.when() < soon for due in loop._scheduled)
