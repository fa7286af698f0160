"""The shop's own figures in a sum: its splice caps and its radio region, where none was typed."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from baycompanion.trade.kind import SumKind

Figures = Mapping[str, str]
"""Inputs of sums by name, each as it is typed."""

Region = Literal["us", "itu1", "itu2", "itu3", "japan"]
"""The radio regions whose grids of stations are known."""

FROM_SHOP = ("caps", "region")
"""The inputs that the settings of a shop can give."""


def with_figures(kind: "SumKind", given: Mapping[str, str], figures: Figures) -> Mapping[str, str]:
    """Return `given` with the shop's own figures where the sum takes them and none was typed.

    Where the same thing was typed in another way, as the limits of a cap, the shop's own gives way.
    """
    known = {each.name for each in kind.inputs}
    put = dict(given)
    for name, own in figures.items():
        if name in known and given.get(name, "").strip() in ("", own):
            typed = any(given.get(other, "").strip() for other in rivals_of(kind, name))
            put[name] = "" if typed else own
    return put


def rivals_of(kind: "SumKind", name: str) -> frozenset[str]:
    """Return the other inputs by which the same thing can be said."""
    ways = frozenset(each for way in kind.one_of for each in way)
    return ways - {name} if name in ways else frozenset()
