"""Figures of all jobs in a passing database, so that memory stays flat until they are compared."""

import json
import sqlite3
from collections.abc import Iterator
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
        events = " ".join(map(str, figure.events))
        row = (kind, _alike(alike), figure.job, figure.by, events, figure.value)
        self._base.execute("INSERT INTO figure VALUES (?, ?, ?, ?, ?, ?)", row)

    def groups(self, kind: str) -> Iterator[tuple[tuple[str, ...], list[Figure]]]:
        """Yield what may be compared, group by group, each in the order it was taken in."""
        alike = self._base.execute(
            "SELECT DISTINCT alike FROM figure WHERE kind = ? ORDER BY alike", (kind,)
        ).fetchall()
        for (group,) in alike:
            rows = self._base.execute(
                "SELECT job, by, events, value FROM figure WHERE kind = ? AND alike = ? "
                "ORDER BY rowid",
                (kind, group),
            )
            figures = [
                Figure(job, by, tuple(map(int, events.split())), value)
                for job, by, events, value in rows
            ]
            yield tuple(json.loads(group)), figures


@cache
def _alike(names: tuple[str, ...]) -> str:
    """Return what may be compared as one text: there are few, and they come again with each job."""
    return json.dumps(names)
