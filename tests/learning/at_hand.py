"""The procedures that are at hand: those that ship, and two for tests."""

from pathlib import Path

from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.question import Question, put_question
from baycompanion.store.shelf import read_procedure, shipped

RECEIVER = shipped("procedures") / "receiver-swap.yaml"
FILES = [
    RECEIVER,
    shipped("procedures") / "dash-camera-hardwire.yaml",
    shipped("procedures") / "key-off-draw-hunt.yaml",
    Path(__file__).parents[1] / "small-receiver.yaml",
    Path(__file__).parents[1] / "second-person.yaml",
]

DECKS = {path.stem: make_deck(read_procedure(path).procedure) for path in FILES}
"""The questions that they give."""


def questions(deck: Deck, *kinds: str) -> list[Question]:
    """Return the questions of these kinds (all, where none is named), with a few seeds each."""
    cards = [card for card in deck.cards if not kinds or card.kind in kinds]
    return [put_question(deck, card, seed) for card in cards for seed in range(4)]


def right_name(question: Question) -> str:
    """Return the right answer of a question with one."""
    (only,) = question.accepted
    return only[0]
