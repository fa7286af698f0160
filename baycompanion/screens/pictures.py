"""A picture in the terminal, where a library that can draw it is installed; else its place."""

import sys
from contextlib import suppress
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

from textual.widget import Widget
from textual.widgets import Static

LIBRARY = "textual_image"
"""The optional library; it asks the terminal what it can draw, once, before the screens begin."""

WITHOUT = "To see it here: python -m pip install 'baycompanion[pictures]'"
LONGEST_SIDE = 1600
"""Pixels of the longest side that is handed on; no terminal shows more."""


def ready_for_pictures() -> None:
    """Let the library ask the terminal what it can draw; later its answers would be keys."""
    if sys.stdout.isatty() and find_spec(LIBRARY) is not None:
        with suppress(Exception):  # a picture is a favour, and never keeps the work from starting
            import_module(f"{LIBRARY}.widget")


def picture(path: Path) -> Widget:
    """Return what shows the picture at `path`, or says where it lies and why it is not shown."""
    if find_spec(LIBRARY) is None:
        return Static(f"It lies at {path}\n{WITHOUT}", markup=False)
    try:
        drawn: Widget = import_module(f"{LIBRARY}.widget").Image(_small(path))
    except Exception as error:  # whatever a damaged picture does to its reader
        why = type(error).__name__
        return Static(f"It lies at {path}\nIt cannot be shown here ({why}).", markup=False)
    drawn.styles.width, drawn.styles.height = "auto", "1fr"
    return drawn


def _small(path: Path) -> object:
    """Return the picture, upright and no larger than a terminal can show."""
    image, ops = import_module("PIL.Image"), import_module("PIL.ImageOps")
    with image.open(path) as opened:
        opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
        upright = ops.exif_transpose(opened)
        upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
        found: object = upright.convert("RGB")
    return found
