"""Chains written anew from a line on, with every hash made afresh: what no rule could prevent."""

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from baycompanion.job.events.chain import FIRST_PREV, canonical, hash_event
from baycompanion.store.durable import write_whole
from baycompanion.store.reading import read_bytes

Raw = dict[str, Any]
"""One line of a chain, parsed."""

Change = Callable[[Raw], Raw | None]
"""Returns what stands in place of a line, None where nothing does."""


def read_lines(path: Path) -> list[Raw]:
    """Return the lines of the chain at `path`."""
    return [json.loads(line) for line in read_bytes(path).splitlines()]


def write_anew(path: Path, lines: Iterable[Raw]) -> None:
    """Write `lines` to `path` with numbers and hashes that hold together."""
    prev, whole = FIRST_PREV, b""
    for seq, line in enumerate(lines, start=1):
        said = {**line, "seq": seq, "prev": prev}
        prev = said["hash"] = hash_event(said)
        whole += canonical(said) + b"\n"
    write_whole(path, whole)


def forge(path: Path, change: Change) -> None:
    """Change lines of the chain at `path` so that it still holds together."""
    write_anew(path, [new for line in read_lines(path) if (new := change(line)) is not None])


def by_another(seq: int, by: str) -> Change:
    """Return what puts event `seq` down to `by`."""
    return lambda line: {**line, "by": by} if line["seq"] == seq else line


def without(seq: int) -> Change:
    """Return what takes event `seq` out."""
    return lambda line: None if line["seq"] == seq else line


def saying(seq: int, **data: Any) -> Change:
    """Return what lets event `seq` say `data`; None takes a field out."""

    def change(line: Raw) -> Raw:
        if line["seq"] != seq:
            return line
        said = {**line["data"], **data}
        return {**line, "data": {name: value for name, value in said.items() if value is not None}}

    return change
