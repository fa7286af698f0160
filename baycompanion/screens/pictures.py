"""A picture in the terminal, where a library that can draw it is installed; else its place."""

import logging
import sys
from contextlib import suppress
from importlib import import_module
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

if TYPE_CHECKING:
    from baycompanion.job.events import PhotoAdded

DRAWS = "textual_image"
"""The optional library; it asks the terminal what it can draw, once, before the screens begin."""

WITHOUT = "To see it here: python -m pip install 'baycompanion[pictures]'"
LONGEST_SIDE = 1200
"""Pixels of the longer side that is handed on: as much as a terminal shows. Own choice."""


def ready_for_pictures() -> None:
    """Let the library ask the terminal what it can draw; later its answers would be keys."""
    if sys.stdout.isatty() and find_spec(DRAWS) is not None:
        # It reports a terminal that is silent with a traceback, which nobody at a bay is to read.
        logging.getLogger(DRAWS).addHandler(logging.NullHandler())
        with suppress(Exception):  # a picture is a favour, and never keeps the work from starting
            import_module(f"{DRAWS}.widget")


def picture(folder: Path, photo: "PhotoAdded") -> Widget:
    """Return what shows a photo of the job, or says where it lies and why it is not shown."""
    place = folder / photo.file
    if find_spec(DRAWS) is None:
        return Static(f"It lies at {place}\n{WITHOUT}", markup=False)
    from baycompanion.store.photos import read_photo  # with the store, and only for a photo
    from baycompanion.working.small_photo import make_small

    content = read_photo(folder, photo.file, photo.sha256)
    small = make_small(content, LONGEST_SIDE) if isinstance(content, bytes) else content
    if isinstance(small, str):
        return Static(f"It lies at {place}\nIt cannot be shown here: {small}.", markup=False)
    try:
        drawn: Widget = import_module(f"{DRAWS}.widget").Image(BytesIO(small.jpeg))
    except Exception:  # it fails on a terminal that gives no size, say; the photo is there anyway
        return Static(f"It lies at {place}\nThis terminal cannot show it.", markup=False)
    drawn.styles.width, drawn.styles.height = "auto", "1fr"
    return drawn
