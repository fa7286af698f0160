"""A picture in the terminal, where a library that can draw it is installed; else its place."""

import logging
import sys
from contextlib import suppress
from importlib import import_module
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.app import App, SuspendNotSupported
from textual.widget import Widget
from textual.widgets import Static

if TYPE_CHECKING:
    from baycompanion.job.events.kinds import PhotoAdded

DRAWS = "textual_image"
"""The optional library; it asks the terminal what it can draw, once, as it is loaded."""

WITHOUT = "To see it here: python -m pip install 'baycompanion[pictures]'"
LONGEST_SIDE = 1200
"""Pixels of the longer side that is handed on: as much as a terminal shows. Own choice."""


def ready_for_pictures(app: App[Any]) -> None:
    """Let the library ask the terminal what it can draw, once and with the screens aside.

    Its answers would else be keys. It takes as long as half the start, so the first photo asks.
    """
    if f"{DRAWS}.widget" in sys.modules or not sys.stdout.isatty() or find_spec(DRAWS) is None:
        return
    # It reports a terminal that is silent with a traceback, which nobody at a bay is to read.
    logging.getLogger(DRAWS).addHandler(logging.NullHandler())
    # A picture is a favour: where it fails, the screens must come back all the same.
    with suppress(SuspendNotSupported), app.suspend(), suppress(Exception):
        import_module(f"{DRAWS}.widget")


def picture(folder: Path, photo: "PhotoAdded") -> Widget:
    """Return what shows a photo of the job, or says where it lies and why it is not shown."""
    from baycompanion.store.job.photos import read_photo  # with the store, and only for a photo

    place = folder / photo.file
    content = read_photo(folder, photo.file, photo.sha256)
    if isinstance(content, str):
        words = f"It was copied to {place}\nIt cannot be shown: {content}."
        return Static(words, markup=False)
    if find_spec(DRAWS) is None:
        return Static(f"It lies at {place}\n{WITHOUT}", markup=False)
    from baycompanion.working.small_photo import make_small

    small = make_small(content, LONGEST_SIDE)
    if isinstance(small, str):
        return Static(f"It lies at {place}\nIt cannot be shown here: {small}.", markup=False)
    try:
        drawn: Widget = import_module(f"{DRAWS}.widget").Image(BytesIO(small.jpeg))
    except Exception:  # it fails on a terminal that gives no size, say; the photo is there anyway
        return Static(f"It lies at {place}\nThis terminal cannot show it.", markup=False)
    drawn.styles.width, drawn.styles.height = "auto", "1fr"
    return drawn
