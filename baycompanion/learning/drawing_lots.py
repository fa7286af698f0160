"""Drawing by lot from a seed and a name: a new name never shifts what was drawn for another."""

from collections.abc import Sequence
from random import Random
from typing import TypeVar

T = TypeVar("T")


def lot(seed: int, *names: object) -> Random:
    """Return the chance that belongs to `names` under `seed`: the same for ever."""
    return Random("/".join(map(str, (seed, *names))))  # a text seeds by its SHA-512


def drawn(choices: Sequence[T], seed: int, *names: object) -> T:
    """Return one of `choices`, which are not empty, by lot."""
    return lot(seed, *names).choice(choices)
