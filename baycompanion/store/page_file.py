"""A page or a drawing put where somebody named it: in the place of an older one, no other file."""

from pathlib import Path

from baycompanion.store.durable import write_whole
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.store.typed_path import leads_to_file

MARKS = (b'<meta name="generator" content="baycompanion">', b"<metadata>baycompanion</metadata>")
"""What stands near the top of every page, and of every drawing, that this program makes."""

TOP = 1000
"""Bytes of a file in which its mark stands."""


def write_page(path: Path, content: bytes) -> None:
    """Put the page `content` at `path`, where nothing, an empty file or an older page may be.

    A page can be made again, and what else somebody has there cannot: one slip in a name would
    cost a ledger, or a letter.

    Raises:
        StoreTrouble: Another file is there, or it cannot be written; the old file stands.
    """
    if leads_to_file(path) and not _may_go(path):
        raise StoreTrouble(
            f"{path} is there already, and is no page of this program. Name another file."
        )
    write_whole(path, content)


def _may_go(path: Path) -> bool:
    """Return whether the file at `path` is empty, or was made by this program."""
    try:
        with path.open("rb") as file:
            top = file.read(TOP)
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be read: {because(error)}.") from None
    return not top or any(mark in top for mark in MARKS)
