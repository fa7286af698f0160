"""The flat tables of an audit: their columns, each with its kind and what it says, stated once."""

from dataclasses import dataclass
from typing import Literal

Kind = Literal["text", "whole", "moment", "truth"]
"""What a column holds: text, a whole number, a moment in UTC, or true and false."""

VERSION = 1
"""Raised with every change of a table, so that older exports are not read as something else."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    name: str
    kind: Kind
    says: str
    """What it says, with its unit."""
    may_miss: bool = False
    """Whether it may be empty."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table."""

    name: str
    row: str
    """What one row stands for."""
    columns: tuple[Column, ...]


_SHOP = Column("shop", "text", "the shop folder, as it was named when it was audited")
_JOB = Column("job", "text", "the folder of the job; with `shop` it names one job")
_PROCEDURE = Column("procedure", "text", "the procedure that the job follows in the end")
_REVISION = Column("revision", "whole", "its revision")
_OF_A_JOB = (_SHOP, _JOB, _PROCEDURE, _REVISION)
_GATE = Column("gate", "text", "the gate")

JOBS = Table(
    "jobs",
    "a job whose chain holds",
    (
        *_OF_A_JOB,
        Column("status", "text", "`open`, `paused`, `closed` or `abandoned`"),
        Column("technician", "text", "the staff id of whoever has the job"),
        Column("mentor", "text", "who stands beside a trainee", may_miss=True),
        Column("opened_at", "moment", "keys in"),
        Column("ended_at", "moment", "closed or given up", may_miss=True),
        Column("worked_seconds", "whole", "s worked in all phases"),
        Column("events", "whole", "events in its journal"),
        Column(
            "clean", "truth", "closed with nothing overridden, deviating or open", may_miss=True
        ),
    ),
)

PHASES = Table(
    "phases",
    "a phase that a job has begun",
    (
        *_OF_A_JOB,
        Column("phase", "text", "the phase"),
        Column("place", "whole", "its place among the phases, from 1"),
        Column("target_seconds", "whole", "s that it should take", may_miss=True),
        Column("worked_seconds", "whole", "s worked in it"),
        Column("paused_seconds", "whole", "s paused in it"),
        Column("begun_at", "moment", "when it began"),
    ),
)

GATES = Table(
    "gates",
    "a gate that a job reached, or, once closed, has nothing to do with",
    (
        *_OF_A_JOB,
        _GATE,
        Column("place", "whole", "its place among the gates, from 1"),
        Column("reached", "truth", "whether the job came to it; else it did not apply"),
        Column("passed", "truth", "stands open by its condition"),
        Column("overridden", "truth", "opened without its condition at least once"),
        Column("held", "truth", "held the job up at least once"),
        Column("waited_for", "text", "what it last waited for, a line each", may_miss=True),
    ),
)

OVERRIDES = Table(
    "overrides",
    "one opening of a gate without its condition",
    (
        *_OF_A_JOB,
        _GATE,
        Column("event", "whole", "the number of its event in the job"),
        Column("overridden_at", "moment", "when"),
        Column("person", "text", "the staff id of whoever opened it"),
        Column("role", "text", "their role then"),
        Column("reason", "text", "the reason of the shop's list"),
        Column("with_pin", "truth", "whether they gave their PIN"),
    ),
)

HANDS = Table(
    "hands",
    "a person with an event in a job",
    (
        *_OF_A_JOB,
        Column("person", "text", "their staff id, which counts in their shop alone"),
        Column("events", "whole", "how many events are theirs"),
    ),
)

FINDINGS = Table(
    "findings",
    "a finding of the audit",
    (
        _SHOP,
        Column("job", "text", "the job, where it is about one", may_miss=True),
        Column("rule", "text", "the rule"),
        Column("weight", "text", "`grave`, `serious` or `minor`"),
        Column("people", "truth", "whether it asks about people"),
        Column("about", "text", "the gate, step or person that it is about", may_miss=True),
        Column("evidence", "text", "events and ledger entries by number", may_miss=True),
        Column("sentence", "text", "what is there and what to look at"),
        Column("key", "text", "what tells it from any other of its shop, in every audit"),
        Column("looked_at_by", "text", "who looked at it last", may_miss=True),
    ),
)

TABLES = (JOBS, PHASES, GATES, OVERRIDES, HANDS, FINDINGS)
"""All of them, gates before people."""
