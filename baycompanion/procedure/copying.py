"""A procedure file under another name: every line stays, but for those that say which one it is."""

import re
from collections.abc import Iterator

from baycompanion.procedure.skeleton import written_text

MARK = "# COPY"
"""Begins a remark on a line that whoever copies the file has to change."""

_KEY = re.compile(r"([a-z][a-z-]*):")


def copied(text: str, name: str, title: str, day: str) -> str:
    """Return the procedure file `text` as the first revision of the procedure `name`.

    Remarks and the order of lines stay as they are. `day` is its date, like 2026-11-25; an author
    is left out, since nobody has written this one yet.
    """
    new = {
        "procedure": f"procedure: {name} # the name of this file\n",
        "title": f"title: {written_text(title)}\n",
        "revision": "revision: 1\n",
        "date": f"date: {day}\n",
        "author": "",
        "changes": "changes:\n  - First issue.\n",
    }
    return "".join(
        new.get(key, "".join(lines)) if key is not None else "".join(lines)
        for key, lines in _blocks(text)
    )


def marked_lines(text: str) -> tuple[int, ...]:
    """Return the numbers of the lines that whoever copied the file has to change, from 1."""
    return tuple(number for number, line in enumerate(text.splitlines(), start=1) if MARK in line)


def _blocks(text: str) -> Iterator[tuple[str | None, list[str]]]:
    """Yield each key at the left edge with its lines, and what stands between them without a key.

    A blank line or a remark at the left edge ends a block, so that it stays where it is.
    """
    key: str | None = None
    lines: list[str] = []
    for line in text.splitlines(keepends=True):
        begun = _KEY.match(line)
        if begun or not line.startswith((" ", "\t", "-")):
            if lines:
                yield key, lines
            key, lines = (begun[1] if begun else None), []
        lines.append(line)
    if lines:
        yield key, lines
