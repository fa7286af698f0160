"""The lines of the board as plain text: known before the models of jobs are loaded."""

from collections.abc import Iterable
from typing import Literal, NamedTuple, get_args

Kind = Literal["heading", "none", "job", "due", "ended", "trouble"]

KINDS = frozenset(get_args(Kind))

MOST_ENDED = 12
"""Ended jobs that are listed."""

BEING_READ = "being read"
"""Said of a job in place of how far it is."""


class BoardLine(NamedTuple):
    """One line of the board."""

    kind: Kind
    text: str
    told: str = ""
    """What stands below it, line by line."""
    opens: str = ""
    """What it opens: a job by the name of its folder, or learning by a staff id."""


def laid_out(
    under_way: Iterable[BoardLine],
    due: Iterable[BoardLine],
    ended: Iterable[BoardLine],
    troubles: Iterable[BoardLine],
) -> tuple[BoardLine, ...]:
    """Return the lines of a board in their order, each kind below its heading."""
    none = BoardLine("none", "none: press N to start a job")
    parts = (
        (BoardLine("heading", "UNDER WAY"), *(tuple(under_way) or (none,))),
        _below("LEARNING", due),
        _below("ENDED LATELY", ended),
        tuple(troubles),
    )
    return tuple(line for part in parts for line in part)


def _below(heading: str, lines: Iterable[BoardLine]) -> tuple[BoardLine, ...]:
    """Return `lines` below their heading; nothing where there are none."""
    found = tuple(lines)
    return (BoardLine("heading", heading), *found) if found else ()


def which_job(work_order: str, vehicle: str, title: str) -> str:
    """Return which job it is, in one line."""
    return " · ".join((work_order, vehicle, title))


def ended_text(opened_at: str, which: str, standing: str, earlier: str | None) -> str:
    """Return the one line of a job that has ended.

    Args:
        opened_at: When the keys came in, as its journal says it.
        which: Which job it is.
        standing: How it stands.
        earlier: The work order of the job that its vehicle came back from.
    """
    back = f" · came back from {earlier}" if earlier else ""
    return f"{opened_at[:10]} · {which} · {standing}{back}"
