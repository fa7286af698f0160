"""One line of the board as plain text: known before the models of jobs are loaded."""

from typing import Literal, NamedTuple, get_args

Kind = Literal["heading", "none", "job", "due", "ended", "trouble"]

KINDS = frozenset(get_args(Kind))


class BoardLine(NamedTuple):
    """One line of the board."""

    kind: Kind
    text: str
    told: str = ""
    """What stands below it, line by line."""
    opens: str = ""
    """What it opens: a job by the name of its folder, or learning by a staff id."""
