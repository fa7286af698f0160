"""Figures of all jobs in a passing database, so that memory stays flat until they are compared."""

import json
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of one job."""

    job: str
    by: str
    events: tuple[int, ...]
    """The events that show it."""
    value: str | int | float


@dataclass(frozen=True, slots=True)
class KeptFigure:
    """A figure with its kind, and with what it may be compared with."""

    kind: str
    alike: tuple[str, ...]
    figure: Figure


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
        self.all.append(KeptFigure(kind, alike, figure))


class Figures:
    """Figures by their kind and by what may be compared with one another.

    The database has no name: the system keeps it in memory while it is small, else in a passing
    file. Nothing is left of it once it is dropped.
    """

    def __init__(self) -> None:
        """Begin with none."""
        self._base = sqlite3.connect("")
        self._base.executescript(
            "CREATE TABLE figure (kind, alike, job, by, events, value);"
            "CREATE INDEX figure_by_alike ON figure (kind, alike);"
        )

    def add(self, kind: str, alike: tuple[str, ...], figure: Figure) -> None:
        """Take in a figure; it is compared with those of its kind and the same `alike`."""
        self.take([KeptFigure(kind, alike, figure)])

    def take(self, kept: Iterable[KeptFigure]) -> None:
        """Take in the figures of a job."""
        rows = (
            (
                each.kind,
                _alike(each.alike),
                each.figure.job,
                each.figure.by,
                " ".join(map(str, each.figure.events)),
                each.figure.value,
            )
            for each in kept
        )
        self._base.executemany("INSERT INTO figure VALUES (?, ?, ?, ?, ?, ?)", rows)

    def groups(self, kind: str) -> Iterator[tuple[tuple[str, ...], "Group"]]:
        """Yield what may be compared, group by group."""
        alike = self._base.execute(
            "SELECT DISTINCT alike FROM figure WHERE kind = ? ORDER BY alike", (kind,)
        ).fetchall()
        for (group,) in alike:
            yield tuple(json.loads(group)), Group(self._base, kind, group)


class Group:
    """Figures that may be compared, in the order in which they were taken in.

    They are read from the database each time that they are gone through, so they may be many.
    """

    def __init__(self, base: sqlite3.Connection, kind: str, alike: str) -> None:
        """Go through the figures of that `kind` and `alike`."""
        self._base = base
        self._key = (kind, alike)

    def __len__(self) -> int:
        """Return how many there are."""
        told = "SELECT count(*) FROM figure WHERE kind = ? AND alike = ?"
        [number] = self._base.execute(told, self._key).fetchone()
        return int(number)

    def __iter__(self) -> Iterator[Figure]:
        """Yield each."""
        told = (
            "SELECT job, by, events, value FROM figure WHERE kind = ? AND alike = ? ORDER BY rowid"
        )
        for job, by, events, value in self._base.execute(told, self._key):
            yield Figure(job, by, tuple(map(int, events.split())), value)


@cache
def _alike(names: tuple[str, ...]) -> str:
    """Return what may be compared as one text: there are few, and they come again with each job."""
    return json.dumps(names)
