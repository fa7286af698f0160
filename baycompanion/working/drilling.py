"""One sitting of a drill, whoever shows it: what is asked next, what is said of it and kept."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from zlib import crc32

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.moment import write_moment
from baycompanion.learning.drill.deck import Deck, DeckCard, make_deck
from baycompanion.learning.drill.question import Question, Verdict, judge, put_question
from baycompanion.learning.drill.recalls import Rating, Recalled
from baycompanion.learning.drill.schedule import Memories, answered, everything, replay, waiting
from baycompanion.store.job.folder import refuse_errors
from baycompanion.store.recalls import keep_recall, read_recalls
from baycompanion.store.shelf import find_procedure, list_procedures, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import nearest, quoted
from baycompanion.views.drill import Outcome

MOST_TIMES = 3
"""How often a question comes in one sitting while it is answered wrong. Own choice: after that the
eye knows where the answer stands, and the minutes until it is due again do more."""

FIRST_WORDS = 3
"""Words of the right answer that a hint gives where nobody wrote why it is so."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What is drilled of a procedure."""

    phase: str | None = None
    """One phase alone; None stands for all of them."""
    most: int | None = None
    """So many questions at most, those that come again not counted."""
    all_cards: bool = False
    """Whether what is not due is asked as well."""


@dataclass(slots=True)
class Sitting:
    """Asks one question after the other; an answer is on the disk before anything is said of it."""

    shop: Shop
    who: Person
    decks: tuple[Deck, ...]
    now: Callable[[], datetime]
    memories: Memories
    waits: list[tuple[Deck, DeckCard]]
    """What is still to be asked, in its order."""
    left: int = 0
    """What is due besides, past the number that was wished for."""
    question: Question | None = None
    """The question in hand; None where the sitting is over."""
    verdict: Verdict | None = None
    """What is said of the answer that was given to it; None while it is not answered."""
    hint: str = ""
    """What was shown as help with it."""
    total: int = 0
    """How many questions there are, those that come again not counted."""
    number: int = 0
    """The number of the question in hand, from 1; one that comes again keeps that of the last."""
    comes_again: bool = False
    """Whether the question in hand was answered wrong before in this sitting."""
    _deck: Deck | None = None
    _first: dict[str, Rating] = field(default_factory=dict)
    """How each card went when it was first asked in this sitting."""
    _times: Counter[str] = field(default_factory=Counter)
    _wrong: list[tuple[Deck, DeckCard]] = field(default_factory=list)
    """What was answered wrong, and comes once more when the others are asked."""

    @property
    def wanted(self) -> int:
        """How many options make an answer: all of them to put in order, or one."""
        assert self.question is not None
        return len(self.question.options) if self.question.card.kind == "order" else 1

    def go_on(self) -> None:
        """Put the next question, or end the sitting."""
        self.verdict, self.hint, self.question = None, "", None
        if not self.waits:
            self.waits, self._wrong = self._wrong, []
        if self.waits:
            self._deck, card = self.waits.pop(0)
            self.comes_again = card.name in self._first
            self.number = len(self._first) + (not self.comes_again)
            self.question = put_question(self._deck, card, self._seed(card))

    def _seed(self, card: DeckCard) -> int:
        """Return what options are mixed by: another number for each person, card and time."""
        known = self.memories.of(card.name, card.face)
        return crc32(f"{self.who.id} {card.name} {known.answers if known else 0}".encode())

    def help(self) -> str:
        """Return help with the question in hand; an answer that is right after it counts less."""
        assert self.question is not None
        self.hint = self.question.why or _first_words(self.question)
        return self.hint

    def answer(self, given: Sequence[str]) -> Verdict:
        """Keep the options `given` by name, and return what is to be said of them.

        Raises:
            StoreTrouble: It cannot be kept; the question is still in hand.
        """
        assert self.question is not None and self._deck is not None
        card, now = self.question.card, self.now()
        verdict = judge(self.question, tuple(given))
        rating: Rating = "again" if not verdict.right else "hard" if self.hint else "good"
        known = answered(self.memories.of(card.name, card.face), card.face, rating, now)
        recalled = Recalled(
            procedure=card.procedure,
            revision=self._deck.procedure.revision,
            card=card.name,
            face=card.face,
            asked=card.kind,
            phase=card.phase,
            gate=card.gate,
            right=verdict.right,
            rating=rating,
            given=list(given),
            due=write_moment(known.due),
        )
        keep_recall(self.shop.folder, self.who, recalled, now)
        self.memories.keep(card.name, known)
        self._first.setdefault(card.name, rating)
        self._times[card.name] += 1
        if not verdict.right and self._times[card.name] < MOST_TIMES:
            self._wrong.append((self._deck, card))
        self.verdict = verdict
        return verdict

    def outcome(self) -> Outcome:
        """Return what came of the sitting so far."""
        unanswered = [card.name for _, card in self.waits if card.name not in self._first]
        in_hand = self.question is not None and self.question.card.name not in self._first
        cards = [card for deck in self.decks for card in deck.cards]
        known = [self.memories.of(card.name, card.face) for card in cards]
        ratings = Counter(self._first.values())
        return Outcome(
            who=self.who.id,
            procedures=tuple(deck.procedure.procedure for deck in self.decks),
            asked=len(self._first),
            right=ratings["good"],
            helped=ratings["hard"],
            back=tuple(sorted(self.memories.by_name[name].due for name in self._first)),
            left=self.left + len(unanswered) + in_hand,
            known=tuple(sorted(each.due for each in known if each is not None)),
            unseen=known.count(None),
            fewer=tuple(words for deck in self.decks for words in deck.fewer),
        )


def _first_words(question: Question) -> str:
    """Return how the right answer begins, or the first step of a right order."""
    first = question.accepted[0][0]
    words = next(option.words for option in question.options if option.name == first).split()
    return f"It begins: {' '.join(words[:FIRST_WORDS])} …"


def sit_down(
    shop: Shop, who: Person, name: str | None, wish: Wish, now: Callable[[], datetime]
) -> Sitting:
    """Return a sitting of `who` with the procedure `name`, the first question in hand.

    Without a name, it is about every procedure that they have begun with. The sitting has no
    question where nothing is due.

    Raises:
        StoreTrouble: There is no such procedure or phase, nothing was begun, or a file cannot be
            read.
        BadFile: The procedure has errors.
    """
    decks = _begun(shop, who) if name is None else [read_deck(shop, name)]
    return sit_with(shop, who, decks, wish, now)


def _begun(shop: Shop, who: Person) -> list[Deck]:
    """Return the questions of every procedure that `who` has begun with."""
    shelf = list_procedures(shop.procedures)
    recalls = read_recalls(shop.folder, who.id)
    names = [event.data.procedure for event in recalls if isinstance(event.data, Recalled)]
    decks = [read_deck(shop, name) for name in dict.fromkeys(names) if name in shelf]
    if not decks:
        raise StoreTrouble(f"{who.id} has begun with no procedure yet. {nearest('', shelf)}")
    return decks


def sit_with(
    shop: Shop, who: Person, decks: Sequence[Deck], wish: Wish, now: Callable[[], datetime]
) -> Sitting:
    """Return a sitting of `who` with the questions of `decks`, the first one in hand.

    Raises:
        StoreTrouble: There is no such phase, or the log of their answers cannot be read.
    """
    if wish.phase is not None:
        _refuse_unknown_phase(decks, wish.phase)
    moment = now()
    memories = replay(read_recalls(shop.folder, who.id), moment)
    due, new = [], []
    for deck in decks:
        asked = (
            everything(deck, memories, wish.phase)
            if wish.all_cards
            else waiting(deck, memories, moment, wish.phase)
        )
        due += [(deck, card) for card in asked.due]
        new += [(deck, card) for card in asked.new]
    waits = _each_once([*due, *new])
    most = len(waits) if wish.most is None else wish.most
    sitting = Sitting(shop, who, tuple(decks), now, memories, waits[:most])
    sitting.left = len(waits[most:])
    sitting.total = len(sitting.waits)
    sitting.go_on()
    return sitting


def _each_once(cards: list[tuple[Deck, DeckCard]]) -> list[tuple[Deck, DeckCard]]:
    """Return `cards` without a question that another procedure before asks as well."""
    by_face: dict[str, tuple[Deck, DeckCard]] = {}
    for deck, card in cards:
        by_face.setdefault(card.face, (deck, card))
    return list(by_face.values())


def read_deck(shop: Shop, name: str) -> Deck:
    """Return the questions of the procedure `name`, the shop's own or one that ships.

    Raises:
        StoreTrouble: There is none, or it cannot be read.
        BadFile: It has errors.
    """
    loaded = read_procedure(find_procedure(name, shop.procedures))
    refuse_errors(loaded)
    return make_deck(loaded.procedure)


def _refuse_unknown_phase(decks: Sequence[Deck], phase: str) -> None:
    known = {name: deck for deck in decks for name in deck.procedure.phase_named}
    if phase not in known:
        raise StoreTrouble(f"There is no phase {quoted(phase)} here. {nearest(phase, known)}")
