"""Figures of all jobs in a passing database, so that memory stays flat until they are compared."""

import sqlite3
from collections.abc import Iterable, Iterator
from typing import NamedTuple, Protocol

import orjson

AT_ONCE = 2048
"""Figures that are in memory before they go to the database together."""


class Figure(NamedTuple):  # a tuple, since all jobs of a shop give some
    """One figure of one job."""

    job: str
    by: str
    events: tuple[int, ...]
    """The events that show it."""
    value: str | int | float


KeptFigure = tuple[str, tuple[str, ...], str, tuple[int, ...], str | int | float]
"""A figure of a known job: its kind, what it may be compared with, and the rest of a `Figure`."""


class TakesFigures(Protocol):
    """What a rule gives the figures of one job to."""

    def add(self, kind: str, alike: tuple[str, ...], figure: Figure) -> None:
        """Take in a figure; it is compared with those of its kind and the same `alike`."""


class FiguresOfJob:
    """The figures of one job, in the order in which the rules gave them."""

    def __init__(self) -> None:
        """Begin with none."""
        self.all: list[KeptFigure] = []

    def add(self, kind: str, alike: tuple[str, ...], figure: Figure) -> None:
        """Take in a figure."""
        self.all.append((kind, alike, *figure[1:]))


class Figures:
    """Figures by their kind and by what may be compared with one another.

    The database has no name: the system keeps it in memory while it is small, else in a passing
    file. Nothing is left of it once it is dropped.
    """

    def __init__(self) -> None:
        """Begin with none."""
        self._base = sqlite3.connect("")
        self._base.executescript(
            "CREATE TABLE some (alike INTEGER, figures BLOB);"
            "CREATE INDEX some_by_alike ON some (alike);"
        )
        self._groups: dict[tuple[str, tuple[str, ...]], Group] = {}
        self._new = 0
        """Figures that are in no database yet."""

    def add(self, kind: str, alike: tuple[str, ...], figure: Figure) -> None:
        """Take in a figure; it is compared with those of its kind and the same `alike`."""
        group = self._groups.get((kind, alike))
        if group is None:
            group = self._groups[kind, alike] = Group(self._base, len(self._groups))
        group.new.append(figure)
        self._new += 1
        if self._new >= AT_ONCE:
            self._new = 0
            for each in self._groups.values():
                each.write()

    def take(self, job: str, kept: Iterable[KeptFigure]) -> None:
        """Take in the figures of the job called `job`."""
        for kind, alike, by, events, value in kept:
            self.add(kind, alike, Figure(job, by, events, value))

    def groups(self, kind: str) -> Iterator[tuple[tuple[str, ...], "Group"]]:
        """Yield what may be compared, group by group."""
        for (of, alike), group in sorted(self._groups.items(), key=lambda each: each[0]):
            if of == kind:
                yield alike, group


class Group:
    """Figures that may be compared, in the order in which they were taken in.

    They are read from the database each time that they are gone through, so they may be many.
    """

    def __init__(self, base: sqlite3.Connection, number: int) -> None:
        """Begin with none; in `base` they stand under `number`."""
        self._base = base
        self._number = number
        self._written = 0
        self.new: list[Figure] = []
        """Those that came last."""

    def write(self) -> None:
        """Write the new ones into the database, as JSON, together."""
        if self.new:
            told = orjson.dumps([tuple(each) for each in self.new])
            self._base.execute("INSERT INTO some VALUES (?, ?)", (self._number, told))
            self._written += len(self.new)
            self.new.clear()

    def __len__(self) -> int:
        """Return how many there are."""
        return self._written + len(self.new)

    def __iter__(self) -> Iterator[Figure]:
        """Yield each."""
        told = "SELECT figures FROM some WHERE alike = ? ORDER BY rowid"
        for (some,) in self._base.execute(told, (self._number,)):
            for job, by, events, value in orjson.loads(some):
                yield Figure(job, by, tuple(events), value)
        yield from self.new
