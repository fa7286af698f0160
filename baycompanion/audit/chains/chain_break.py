"""Where a chain of lines breaks first, in a journal or a ledger, and how, as far as can be told."""

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from baycompanion.job.events.chain import FIRST_PREV, canonical, hash_event, parsed

How = Literal["changed", "missing", "extra", "reordered"]

MOST_NAMED = 1000
"""Missing or moved lines that are named by number."""


@dataclass(frozen=True, slots=True)
class Break:
    """The first line that does not follow the one before it."""

    how: How
    line: int
    """Counted from 1."""
    numbers: tuple[int, ...]
    """The numbers of the events or entries that were changed, are missing, too many or moved."""
    why: str
    """What shows it, as a sentence without its stop; `{}` stands for event or entry."""


class BrokenChain(Exception):
    """A chain of lines does not hold together; carries where it breaks first."""

    def __init__(self, where: Break) -> None:
        """Say that it breaks there."""
        super().__init__(where)
        self.where = where


def first_break(lines: Iterable[bytes]) -> Break | None:
    """Return the first break in `lines`, each a whole line without its end; None if they hold."""
    try:
        for _ in whole_links(lines):
            pass
    except BrokenChain as broken:
        return broken.where
    return None


def whole_links(lines: Iterable[bytes]) -> Iterator[dict[str, Any]]:
    """Yield what is in each of `lines`, whole lines without their ends, as long as they hold.

    A chain that somebody wrote anew from its start to its end holds: what tells then is kept
    elsewhere, in the ledger, a seal, or on paper.

    Raises:
        BrokenChain: A line does not follow the one before it.
    """
    numbered = enumerate(lines, start=1)
    expected, prev = 1, FIRST_PREV
    for number, line in numbered:
        raw = read_link(line)
        if raw is None:
            raise BrokenChain(Break("changed", number, (expected,), _why_no_link(line)))
        if raw["seq"] != expected:
            rest = (line for _, line in numbered)
            raise BrokenChain(_out_of_order(number, raw["seq"], expected, rest))
        if raw["prev"] != prev:
            both = (expected - 1, expected) if expected > 1 else (1,)
            what = "it is not tied to the {} before it, so one of the two was written anew"
            why = what if expected > 1 else _NO_FIRST
            raise BrokenChain(Break("changed", number, both, why))
        expected, prev = expected + 1, raw["hash"]
        yield raw


_NO_FIRST = "it is tied to something before it, and the first {} is tied to nothing"


def read_link(line: bytes) -> dict[str, Any] | None:
    """Return what is in one line if it is whole by itself: canonical, with a hash that fits."""
    try:
        raw = parsed(line)
        fits = canonical(raw) == line and _has_its_hash(raw, line)
        return raw if fits and type(raw["seq"]) is int and isinstance(raw["prev"], str) else None
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _has_its_hash(raw: dict[str, Any], line: bytes) -> bool:
    """Return whether the hash in `raw` is its own; `line` is its canonical form.

    What is hashed is that form without the hash: cut out, it need not be written a second time.
    Text cannot hold what is cut, as its quotation marks are escaped; else the long way tells.
    """
    before, found, after = line.rpartition(f',"hash":"{raw["hash"]}"'.encode())
    quickly = bool(found) and hashlib.sha256(before + after).hexdigest() == raw["hash"]
    return quickly or bool(raw["hash"] == hash_event(raw))


def _why_no_link(line: bytes) -> str:
    """Return why a line is not whole by itself."""
    try:
        raw = parsed(line)
        if raw["hash"] == hash_event(raw):
            return "it is written otherwise than this program writes"
    except (ValueError, KeyError, TypeError, AttributeError):
        return "its line is no {} any more"
    return "its hash does not fit what it says"


def _out_of_order(number: int, seq: int, expected: int, rest: Iterator[bytes]) -> Break:
    """Return how `seq` came to stand where `expected` belongs; `rest` are the lines after it."""
    if seq < expected:
        what = f"one more {{}} {seq} stands where {expected} belongs"
        return Break("extra", number, (seq,), what)
    later = (link["seq"] for link in map(read_link, rest) if link is not None)
    what = f"{{}} {seq} stands where {expected} belongs"
    if expected in later:
        return Break("reordered", number, (expected, seq), what)
    gone = tuple(range(expected, min(seq, expected + MOST_NAMED)))
    return Break("missing", number, gone, what)
