"""The questions across shops: read from the one SQL file, and what an engine answers to them."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

_QUERY = re.compile(
    r"^-- query: (?P<name>\w+)\n-- tells: (?P<tells>.+)\n-- by: (?P<by>.+)\n(?P<sql>[^;]+);",
    re.MULTILINE,
)


@dataclass(frozen=True, slots=True)
class Query:
    """One question, as it stands in `cross_shop.sql`."""

    name: str
    tells: str
    """What it tells, as a heading."""
    by: tuple[str, ...]
    """The first columns: what one row of the answer stands for."""
    sql: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What an engine answers to one question."""

    query: Query
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]
    """Text, whole numbers, and floats in the unit that the name of the column ends with."""

    def as_dict(self) -> dict[str, Any]:
        """Return it as programs read it."""
        return {
            "tells": self.query.tells,
            "rows": [dict(zip(self.columns, row, strict=True)) for row in self.rows],
        }


@cache
def queries() -> tuple[Query, ...]:
    """Return all questions in the order in which they are told: gates first, people last."""
    text = files("baycompanion.audit.tables").joinpath("cross_shop.sql").read_text(encoding="utf-8")
    return tuple(_read(text))


def _read(text: str) -> Iterator[Query]:
    for found in _QUERY.finditer(text):
        by = tuple(column.strip() for column in found["by"].split(","))
        yield Query(found["name"], found["tells"], by, found["sql"].strip())
