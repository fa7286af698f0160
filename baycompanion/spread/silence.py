"""Why nothing is said: the answer where there are too few figures, or they hold no spread."""

from dataclasses import dataclass
from typing import Literal

Reason = Literal["too few", "all alike"]


@dataclass(frozen=True)
class Silence:
    """Nothing is said, and why.

    `too few`: there are `values` figures where at least `needed` must stand behind an answer.
    `all alike`: there are enough, but so many are the same that they show no spread to judge by.
    """

    reason: Reason
    values: int
    needed: int


def too_few(values: int, needed: int) -> Silence | None:
    """Return the silence of `values` figures where `needed` are needed, or None if they do."""
    return Silence("too few", values, needed) if values < needed else None
