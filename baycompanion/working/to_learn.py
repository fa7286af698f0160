"""What somebody may learn: every procedure on the shelf, with what is due of it and what is new."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from baycompanion.job.deciding.draft import Person
from baycompanion.learning.drill.deck import Deck
from baycompanion.learning.drill.schedule import DrillStanding, drill_standing, replay, waiting
from baycompanion.store.recalls import put_aside, read_recalls
from baycompanion.store.shelf import list_procedures
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.working.drilling import read_deck


@dataclass(frozen=True, slots=True)
class ToLearn:
    """One procedure on the shelf, as somebody stands with it."""

    procedure: str
    deck: Deck | None
    """Its questions; None where it cannot be read."""
    standing: DrillStanding | None
    """How somebody stands with it; None also where their answers cannot be read."""
    new_today: int
    """New questions that may come in today."""
    trouble: str = ""
    """Why it cannot be read, in one sentence."""


def to_practise(shop: Shop) -> Iterator[ToLearn]:
    """Yield every procedure on the shelf, whoever it is, and whatever they answered."""
    for procedure in list_procedures(shop.procedures):
        try:
            deck = read_deck(shop, procedure)
        except (StoreTrouble, BadFile) as trouble:
            yield ToLearn(procedure, None, None, 0, str(trouble).splitlines()[0])
        else:
            yield ToLearn(procedure, deck, None, 0)


def to_learn(
    shop: Shop, who: Person, now: datetime, given_up: Callable[[], bool] = lambda: False
) -> Iterator[ToLearn]:
    """Yield every procedure on the shelf as `who` stands with it, until `given_up`.

    What they answered and no procedure asks any more is put aside, once all could be read.

    Raises:
        StoreTrouble: The log of their answers cannot be read.
    """
    recalls = read_recalls(shop.folder, who.id)
    memories = replay(recalls, now)
    names: set[str] = set()
    faces: set[str] = set()
    all_read = True
    for row in to_practise(shop):
        if given_up():
            return
        deck = row.deck
        if deck is None:
            all_read = False
            yield row
            continue
        names |= {card.name for card in deck.cards}
        faces |= {card.face for card in deck.cards}
        new_today = len(waiting(deck, memories, now).new)
        standing = drill_standing(deck, recalls, now)
        yield replace(row, standing=standing, new_today=new_today)
    gone = {name for name, known in memories.by_name.items() if known.face not in faces} - names
    if gone and all_read:
        put_aside(shop.folder, who, gone, now)
