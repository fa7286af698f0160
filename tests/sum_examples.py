"""What the catalogue itself gives as an example of each sum, and the shop that has caps."""

from baycompanion.trade.kind import Input, SumKind

CAPS = "small 700-3000, grey 1500-6500"
"""Invented caps, as the sum takes them."""


def example_of(kind: SumKind) -> dict[str, str]:
    """Return the example of each input without which the sum is not worked, in the first way."""
    way = kind.one_of[0] if kind.one_of else ()
    asked = (each for each in kind.inputs if each.required or each.name in way)
    return {each.name: _example(each) for each in asked}


def _example(each: Input) -> str:
    return each.choices[0] if each.choices else each.takes.rpartition(", like ")[2]
