"""A need: what must be done before something may begin, as a small tree of steps."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Every:
    """All of these must be met; with none, nothing is needed."""

    of: "tuple[Need, ...]" = ()


@dataclass(frozen=True, slots=True)
class Either:
    """One of these is enough; with none, it is never met."""

    of: "tuple[Need, ...]" = ()


Need: TypeAlias = str | Every | Either
"""The id of a step that must be done, or what several needs come to."""

NOTHING = Every()
NEVER = Either()


def is_met(need: Need, done: Collection[str]) -> bool:
    """Return whether `need` is met where the steps in `done` are done. More done never harms."""
    if isinstance(need, Every):
        return all(is_met(each, done) for each in need.of)
    if isinstance(need, Either):
        return any(is_met(each, done) for each in need.of)
    return need in done


def leaves(need: Need) -> Iterator[str]:
    """Yield every step that `need` speaks of."""
    if isinstance(need, str):
        yield need
    else:
        for each in need.of:
            yield from leaves(each)
