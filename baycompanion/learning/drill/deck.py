"""The deck of a procedure: a card for each question that can be asked about it.

Nothing is written for it: everything asked, right and wrong, stands in the procedure already.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from baycompanion.learning.drill.asked import Asked
from baycompanion.learning.drill.asked import DeckCard as DeckCard
from baycompanion.learning.drill.asked import Kind as Kind
from baycompanion.learning.drill.caution_before import about_cautions
from baycompanion.learning.drill.fewer import why_fewer
from baycompanion.learning.drill.gate_conditions import about_gates
from baycompanion.learning.drill.limit_of import about_limits
from baycompanion.learning.drill.next_step import about_next
from baycompanion.learning.drill.order_of import about_orders
from baycompanion.learning.drill.tool_for import about_tools
from baycompanion.learning.orders.holds import Holds
from baycompanion.procedure.model import Procedure

_ABOUT: tuple[Callable[[Holds], Iterable[Asked]], ...] = (
    about_next,
    about_gates,
    about_cautions,
    about_tools,
    about_limits,
    about_orders,
)


@dataclass(frozen=True, slots=True)
class Deck:
    """Every card of one procedure, in the order of its steps."""

    procedure: Procedure
    cards: tuple[DeckCard, ...]
    fewer: tuple[str, ...]
    """For each kind of question that could not be made why, and what to write in the file."""
    asked: Mapping[str, Asked] = field(default_factory=dict, repr=False, compare=False)
    """What each card asks, by its name."""


def make_deck(procedure: Procedure) -> Deck:
    """Return the cards that `procedure` gives; for the same one they are made once.

    One that `check` finds errors in gives what can be made of it; no job is opened by it either.
    """
    return _make(_Itself(procedure))


@dataclass(frozen=True, slots=True, eq=False)
class _Itself:
    """A procedure as the key of a cache: that very one, which is quicker told than one like it."""

    procedure: Procedure

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Itself) and self.procedure is other.procedure

    def __hash__(self) -> int:
        return id(self.procedure)


@lru_cache(maxsize=64)  # as many procedures as the shelf keeps
def _make(of: _Itself) -> Deck:
    procedure = of.procedure
    holds = Holds(procedure)
    asked = {each.card.name: each for about in _ABOUT for each in about(holds)}
    cards = sorted((each.card for each in asked.values()), key=lambda card: _place(holds, card))
    fewer = tuple(why_fewer(procedure, {card.kind for card in cards}))
    return Deck(procedure, tuple(cards), fewer, asked)


def _place(holds: Holds, card: DeckCard) -> int:
    """Return where a card stands among all: with its step, or before those of its phase."""
    procedure = holds.procedure
    first = procedure.number[procedure.phase_named[card.phase].steps[0].id]
    return 2 * procedure.number[card.step] if card.step else 2 * first - 1
