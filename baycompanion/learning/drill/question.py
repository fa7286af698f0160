"""A question as it is put, with its answers drawn by a seed, and what is right of an answer."""

from dataclasses import dataclass
from itertools import chain
from random import Random

from baycompanion.learning.drill.asked import Arranged, DeckCard, Picked
from baycompanion.learning.drill.asked import Option as Option
from baycompanion.learning.drill.deck import Deck
from baycompanion.learning.drill.order_of import misplacings

MOST_WRONG = 3
"""Wrong answers beside the right one."""
FEW_BLAMED = 2
"""Lines to blame: where two steps stand the wrong way round, it may be either."""


@dataclass(frozen=True, slots=True)
class Question:
    """A question with its options: one is picked, or, of kind `order`, all are put in order."""

    card: DeckCard
    asks: str
    lead: tuple[str, ...]
    options: tuple[Option, ...]
    why: str
    accepted: tuple[tuple[str, ...], ...] = ()
    """Every right answer, as names of options; the procedure's own comes first."""
    own_order: tuple[str, ...] = ()
    """Of a question about an order, the order of the procedure."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether an answer is right, and what the right one is."""

    right: bool
    words: str


def put_question(deck: Deck, card: DeckCard, seed: int) -> Question:
    """Return the question of `card`; the same `seed` draws the same answers in the same order.

    Raises:
        KeyError: The card is not of this deck.
    """
    asked, chance = deck.asked[card.name], Random(f"{card.name} {seed}")
    if isinstance(asked, Picked):
        return _pick_one(asked, chance)
    return _misplaced(asked, chance) if card.kind == "misplaced" else _in_order(asked, chance)


def judge(question: Question, given: tuple[str, ...]) -> Verdict:
    """Return what is right of `given`: the name of one option, or those of all in order."""
    right = given in question.accepted
    if not question.own_order:
        return Verdict(right, _words(question, question.accepted[0][0]))
    own = f"The procedure's own order: {_listed(question, question.own_order)}"
    if question.card.kind == "misplaced":
        moved = question.accepted[0][0]
        also = (
            "Without this line the list is allowed as well. " if right and given != (moved,) else ""
        )
        return Verdict(right, f"{also}Out of its place is “{_bare(question, moved)}”. {own}")
    also = "The gates allow this order as well. " if right and given != question.own_order else ""
    return Verdict(right, f"{also}{own}")


def _pick_one(asked: Picked, chance: Random) -> Question:
    right = chance.choice(asked.rights)
    wrong = _wrong_answers(asked, chance)
    options = tuple(chance.sample([right.option, *wrong], len(wrong) + 1))
    accepted = ((right.option.name,),)
    lead = tuple(dict.fromkeys((*asked.lead, *right.lead)))
    return Question(asked.card, asked.asks, lead, options, right.why, accepted)


def _wrong_answers(asked: Picked, chance: Random) -> list[Option]:
    """Return some wrong answers, the near ones first.

    Where the near ones are so few that all of them would be drawn each time, one comes from
    further off.
    """
    groups = [group for group in asked.wrongs if group]
    many = MOST_WRONG if len(groups[0]) > MOST_WRONG else MOST_WRONG - 1
    near = chance.sample(groups[0], min(many, len(groups[0])))
    others = [option for option in chain.from_iterable(groups) if option not in near]
    return near + chance.sample(others, min(MOST_WRONG - len(near), len(others)))


def _in_order(asked: Arranged, chance: Random) -> Question:
    """Return the question with its steps in an order that is not allowed."""
    own = tuple(step.name for step in asked.steps)
    shown = asked.steps
    while tuple(step.name for step in shown) in asked.orders:
        shown = tuple(chance.sample(asked.steps, len(asked.steps)))
    accepted = (own, *sorted(asked.orders - {own}))
    return Question(asked.card, asked.asks, asked.lead, shown, asked.why, accepted, own)


def _misplaced(asked: Arranged, chance: Random) -> Question:
    """Return the question with one step moved, so that as few lines as can be are to blame."""
    own = tuple(step.name for step in asked.steps)
    ways = list(misplacings(own, asked.orders))
    few = [way for way in ways if len(way.accepted) <= FEW_BLAMED]
    way = chance.choice(few or ways)
    named = {step.name: step for step in asked.steps}
    shown = tuple(named[name] for name in way.lines)
    accepted = tuple((name,) for name in way.accepted)
    return Question(asked.card, asked.asks, asked.lead, shown, asked.why, accepted, own)


def _words(question: Question, name: str) -> str:
    return next(option.words for option in question.options if option.name == name)


def _bare(question: Question, name: str) -> str:
    return _words(question, name).rstrip(".")


def _listed(question: Question, names: tuple[str, ...]) -> str:
    lines = (f"{place}. “{_bare(question, name)}”" for place, name in enumerate(names, start=1))
    return ", ".join(lines) + "."
