"""When an app under test has done all that a key set going, told by what its loop still has to do.

The library's own wait looks every 20 ms, twice a key, whether the processor was idle. That is slow,
since a whole job takes a thousand keys, and on a busy machine it is wrong: who gets no turn at the
processor looks idle too.

What is painted goes nowhere, and took a third of the time: a key has the same lines painted several
times over. So what became dirty has its lines made once, when all else is done, and an error in it
is told; they are not cut and joined to what a terminal would get. Of keys that a test presses one
after the other, without looking in between, only the last one is painted.
"""

from asyncio import get_running_loop, sleep
from collections import deque
from threading import Event
from time import monotonic
from typing import Any
from weakref import WeakSet

from textual._compositor import Compositor
from textual._context import active_app, visible_screen_stack
from textual.geometry import Region
from textual.pilot import Pilot
from textual.widgets import OptionList

SOON = 0.012
"""Seconds within which a timer that runs out belongs to what is being done, as painting and the
pace of a reader of codes do; a blinking cursor and the clock of a job do not."""

LONGEST = 10.0
"""Seconds after which a wait is given up; what the test looks for then tells what is missing."""

_holding: WeakSet[Event] = WeakSet()


def hold() -> Event:
    """Return what a worker of the app is to wait for; until it is set, no wait is for workers.

    The worker waits for the test, and the test would wait for the worker, as long as it may.
    """
    event = Event()
    _holding.add(event)
    return event


async def until_quiet(min_sleep: float = 0, max_sleep: float = LONGEST) -> None:
    """Wait until nothing is left to do now or soon; the library gives times that it need not."""
    loop: Any = get_running_loop()  # what is ready and what is due, no public name tells
    end = monotonic() + LONGEST
    while monotonic() < end and _has_to_do(loop):
        await sleep(0 if loop._ready else 0.001)


async def until_painted(min_sleep: float = 0, max_sleep: float = LONGEST) -> None:
    """Wait until nothing is left to do, and what came of it is painted."""
    await until_quiet()
    while _painted():
        await until_quiet()


async def press_and_paint(pilot: Pilot[Any], *keys: str) -> None:
    """Press `keys`, each once the one before has done all it does, and paint what came of them."""
    await pilot._app._press_keys(keys)
    await until_painted()


async def until_screen_is_quiet(pilot: Pilot[Any], timeout: float = LONGEST) -> bool:
    """Wait as ever; the library sends a message to every widget and waits until all have it."""
    await until_quiet()
    return True


def paint_later(compositor: Compositor, *_: object, **__: object) -> None:
    """Leave what is dirty as it is; stands in for what makes an update to be painted.

    A list finds out how many lines it has when it is painted, and is scrolled by that.
    """
    for widget in compositor.visible_widgets:
        if isinstance(widget, OptionList):
            widget._update_lines()


def _painted() -> bool:
    """Make the lines of what became dirty in front; return whether there was anything."""
    app = active_app.get()
    if app._exit or not app._screen_stack:
        return False
    compositor = app.screen._compositor
    if not compositor._dirty_regions:
        return False
    crop = Region.from_union(compositor._dirty_regions).intersection(compositor.size.region)
    compositor._dirty_regions.clear()
    visible_screen_stack.set(app._background_screens)
    deque(compositor._get_renders(crop), maxlen=0)
    return True


def _has_to_do(loop: Any) -> bool:
    if active_app.get()._exit:  # it ends once the test lets it go on
        return False
    if loop._ready or _has_workers():
        return True
    soon = loop.time() + SOON
    return any(not due.cancelled() and due.when() < soon for due in loop._scheduled)


def _has_workers() -> bool:
    if not all(event.is_set() for event in _holding):
        return False
    return any(not worker.is_finished for worker in active_app.get().workers)
