"""The two ends of a journal as they stand in its file: no model of an event is needed for them."""

import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from baycompanion.job.events.chain import parsed
from baycompanion.store.trouble import StoreTrouble, because

_PIECE = 65_536
"""Bytes of the end of a journal that are looked at."""

_LONGEST_FIRST = 1_000_000
"""Bytes of a first line that are read at most."""

_ENDING = re.compile(rb'"kind":"(abandoned|closed)"')  # no text can hold it: its quotes are escaped

UNDER_WAY: Final = "under way"
"""How a job stands that has not ended."""


@dataclass(frozen=True, slots=True)
class End:
    """What the end of a journal tells of its job."""

    status: Literal["under way", "closed", "abandoned"]
    unseen: bool = False
    """Whether it was closed with work that a second person is still to look at."""
    head: str = ""
    """The hash that the last whole line of an ended one says it has."""

    @property
    def takes_more(self) -> bool:
        """Whether entries can still be made: it is under way, or somebody is still to look."""
        return self.status == UNDER_WAY or self.unseen

    @property
    def standing(self) -> str:
        """How the job stands, in words."""
        return f"{self.status}, a second person is still to look" if self.unseen else self.status


def written_ends(path: Path | str) -> tuple[bytes, End]:
    """Return the first line of the journal at `path`, and what its end tells.

    A bounded piece is read, however long the journal is, and its end is trusted. What the first
    line says nobody has asked yet.

    Raises:
        StoreTrouble: It cannot be read.
    """
    first, tail = _both_ends(path)
    whole = tail[: tail.rfind(b"\n") + 1]
    found = _ENDING.search(whole)
    if found is None:
        return first, End(UNDER_WAY)
    lines = whole[whole.rfind(b"\n", 0, found.start()) + 1 :].splitlines()
    head = _said_hash(lines[-1])
    if found[1] == b"abandoned":
        return first, End("abandoned", head=head)
    return first, End("closed", _unseen(lines[0], lines[1:]), head)


def _both_ends(path: Path | str) -> tuple[bytes, bytes]:
    """Return the first line of the journal at `path`, and its end; most are read in one piece."""
    try:
        with open(path, "rb") as file:  # noqa: PTH123 - a path for each of 1,000 jobs takes 5 ms
            begin = file.read(_PIECE)
            if len(begin) < _PIECE:
                return begin.partition(b"\n")[0], begin
            file.seek(0)
            first = file.readline(_LONGEST_FIRST)
            file.seek(max(0, file.seek(0, os.SEEK_END) - _PIECE))
            return first.rstrip(b"\n"), file.read()
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be read: {because(error)}.") from None


def _said_hash(line: bytes) -> str:
    """Return the hash that a line says it has, or nothing for a damaged one."""
    try:
        return str(parsed(line)["hash"])
    except (ValueError, KeyError, TypeError):
        return ""


def _unseen(closed: bytes, later: list[bytes]) -> bool:
    """Return whether something was released for now in `closed` and not looked at `later`."""
    try:
        released = set(parsed(closed)["data"].get("provisional", ()))
        if not released:
            return False
        answered = {parsed(line)["data"].get("step") for line in later}
    except (ValueError, KeyError, TypeError, AttributeError):
        return True  # damaged: opening the job says where
    return not released <= answered
