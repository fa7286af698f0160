"""The hand-over sheet as plain values: its head, its sections in order, its foot."""

from dataclasses import dataclass
from typing import Literal

Weight = Literal["alarm", "quiet", "plain"]
"""Alarm: not as it should be. Quiet: to be looked up, not read. Plain: everything else."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows below their heads; the first cell of a row says what the row is about."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[int, ...] = ()
    """How much of the width each column takes, in percent; without them, as the texts need."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One small picture, with what it shows."""

    uri: str
    """The picture itself, as a data URI."""
    caption: str


@dataclass(frozen=True, slots=True)
class Section:
    """One section: sentences first, then labelled lines, a table, a list, pictures."""

    title: str
    says: tuple[str, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    """Labels, and what they label."""
    table: Table | None = None
    points: tuple[str, ...] = ()
    pictures: tuple[Shown, ...] = ()
    weight: Weight = "plain"
    wide: bool = False
    """Whether it takes the whole width of the page."""


@dataclass(frozen=True, slots=True)
class HandOver:
    """The whole hand-over sheet."""

    shop: str
    running: str
    """What stands at the top of every page, so that a loose one is told whose it is."""
    vehicle: str
    facts: tuple[tuple[str, str], ...]
    standing: str
    """How the job ended, in a sentence."""
    clean: bool
    bands: tuple[tuple[Section, ...], ...]
    """The sections in order: a wide one alone, the others together in two columns."""
    signatures: tuple[str, ...]
    fingerprint: str
    foot: tuple[str, ...]
