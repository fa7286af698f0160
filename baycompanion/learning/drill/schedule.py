"""When a card comes back: the open FSRS scheduler, replayed from the log of a person's answers.

The library schedules; here stands what it is given. Its parameters and its steps for new cards (one
minute, ten minutes) are its own defaults. A right answer makes the gap to the next one longer, a
wrong one brings the card back within minutes and makes its gaps short again, from where they grow.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import lru_cache
from statistics import fmean
from typing import TYPE_CHECKING

from baycompanion.job.events.event import Event
from baycompanion.job.events.moment import read_moment
from baycompanion.learning.drill.clocks import believed
from baycompanion.learning.drill.recalls import EARLY, Rating, Recalled, is_due

if TYPE_CHECKING:
    import fsrs

    from baycompanion.learning.drill.deck import Deck, DeckCard

RETENTION = 0.9
"""The chance to recall a card at the hour when it comes back: the library's default, kept.

At 0.95 the gaps would be 0.4 times as long, so more than twice as many questions, for a gain that
no job needs: there the step, its cautions and its gates stand on the screen. Much below 0.9 so many
answers are wrong that nobody likes to come back.
"""

NEW_A_DAY = 10
"""New cards of a procedure that come in on one day, at most. Own choice: they take some five
minutes, and each comes back two or three times in its first week."""

MOST_WEAK = 3
"""Gates that are named as the weakest."""


@dataclass(frozen=True, slots=True)
class Remembered:
    """What is known of one card after an answer."""

    memory: "fsrs.Card"
    """The card as the scheduler keeps it."""
    face: str
    """Its question and right answer when it was asked last."""
    first: datetime
    """When it was asked first, UTC."""
    answers: int
    """How often it was answered."""
    rating: Rating
    """How it went last."""

    @property
    def due(self) -> datetime:
        """When it comes back, UTC."""
        return self.memory.due

    @property
    def last(self) -> datetime:
        """When it was answered last, UTC."""
        assert self.memory.last_review is not None
        return self.memory.last_review


@dataclass(slots=True)
class Memories:
    """What is known of each card that was answered.

    Procedures share phases, and so questions. Cards with one face are one question, which nobody
    has to learn again with every procedure; so what is known of one is known of the other.
    """

    by_name: dict[str, Remembered] = field(default_factory=dict)
    by_face: dict[str, Remembered] = field(default_factory=dict)

    def keep(self, name: str, known: Remembered) -> None:
        """Keep what is `known` of the card called `name` after an answer to it."""
        self.by_name[name] = self.by_face[known.face] = known

    def of(self, name: str, face: str) -> Remembered | None:
        """Return what is known of the card called `name` that has this `face`, by its last answer.

        None where neither it nor any card of this face was ever answered.
        """
        own, same = self.by_name.get(name), self.by_face.get(face)
        if own is None or same is None:
            return own or same
        return same if same.last >= own.last else own


@dataclass(frozen=True, slots=True)
class Waiting:
    """The cards of a deck that are to be asked now, in their order."""

    due: tuple["DeckCard", ...]
    """Those that were answered before; what a new revision changed stands first."""
    new: tuple["DeckCard", ...]
    """Those that were never answered, as many as may come in today, in the procedure's order."""


@dataclass(frozen=True, slots=True)
class DrillStanding:
    """How somebody stands with the cards of one procedure."""

    due: int
    """Cards that are due now, those that a new revision changed too."""
    new: int
    """Cards that were never answered."""
    seen: int
    """Cards that were answered, at least once."""
    answers: int
    """Answers to cards of this deck, right or wrong."""
    retention: float | None
    """The mean chance to recall now, from 0 to 1, over the cards seen as they stand now."""
    weakest_gates: tuple[tuple[str, float], ...]
    """The gates whose cards have the lowest mean chance, the lowest first."""
    last_at: str | None
    """When a card of this deck was answered last, as the journal writes it."""


@lru_cache(maxsize=1)
def _scheduler() -> "fsrs.Scheduler":
    """Return the scheduler: defaults, without the chance that spreads cards over days.

    A replay must give the same days again, and a shop has few cards to spread.
    """
    from fsrs import Scheduler

    return Scheduler(desired_retention=RETENTION, enable_fuzzing=False)


def answered(before: Remembered | None, face: str, rating: Rating, when: datetime) -> Remembered:
    """Return what is known of a card once it was answered so `when`, which carries a zone.

    An answer before the last one counts as given with it: no clock that was set back makes a gap.
    """
    from fsrs import Card
    from fsrs import Rating as Grade

    at = when.astimezone(UTC)
    if before is None:
        memory, first, answers = Card(card_id=0, due=at), at, 1
    else:
        memory, first, answers = before.memory, before.first, before.answers + 1
        at = max(at, before.last)
        if before.due - before.last > EARLY and before.due - at <= EARLY:
            at = max(at, before.due)
    memory, _ = _scheduler().review_card(memory, Grade[rating.capitalize()], at)
    return Remembered(memory, face, first, answers, rating)


def replay(recalls: Sequence[Event], now: datetime) -> Memories:
    """Return what is known of each card after `recalls`, the lines of a log in their order."""
    memories = Memories()
    moments = believed([read_moment(event.at) for event in recalls], now)
    for event, when in zip(recalls, moments, strict=True):
        data = event.data
        if isinstance(data, Recalled):
            before = memories.of(data.card, data.face)
            memories.keep(data.card, answered(before, data.face, data.rating, when))
    return memories


def is_waiting(card: "DeckCard", known: Remembered, now: datetime) -> bool:
    """Return whether a card of which this is `known` is to be asked `now`."""
    return known.face != card.face or is_due(known.due, known.last, now)


def waiting(deck: "Deck", memories: Memories, now: datetime, phase: str | None = None) -> Waiting:
    """Return what is to be asked `now` of `deck`, or of one `phase` of it.

    A card that a new revision changed is due at once, and keeps its past: where the old answer
    still serves it goes on as before, and else it comes back at short gaps like any wrong one.
    """
    seen, new = _parted(deck, memories, phase)
    due = [(card, known) for card, known in seen if is_waiting(card, known, now)]
    return Waiting(_by_age(due), tuple(new[: _room_today(deck, memories, now)]))


def everything(deck: "Deck", memories: Memories, phase: str | None = None) -> Waiting:
    """Return all cards of `deck`, or of one `phase` of it, whether they are due or not."""
    seen, new = _parted(deck, memories, phase)
    return Waiting(_by_age(seen), tuple(new))


Seen = list[tuple["DeckCard", Remembered]]


def _parted(
    deck: "Deck", memories: Memories, phase: str | None = None
) -> tuple[Seen, list["DeckCard"]]:
    """Return the cards of `deck`, or of one `phase`: those that were answered, and the others."""
    seen: Seen = []
    new: list[DeckCard] = []
    for card in deck.cards:
        known = memories.of(card.name, card.face)
        if phase not in (None, card.phase):
            continue
        if known is None:
            new.append(card)
        else:
            seen.append((card, known))
    return seen, new


def _by_age(seen: Seen) -> tuple["DeckCard", ...]:
    """Return cards that were answered before: what changed, then what was due first."""
    aged = sorted(seen, key=lambda each: (each[1].face == each[0].face, each[1].due))
    return tuple(card for card, _ in aged)


def _room_today(deck: "Deck", memories: Memories, now: datetime) -> int:
    """Return how many new cards may still come in on the day of `now`, in its own zone."""
    seen, _ = _parted(deck, memories)
    came = sum(known.first.astimezone(now.tzinfo).date() == now.date() for _, known in seen)
    return max(0, NEW_A_DAY - came)


def chance(known: Remembered, now: datetime) -> float:
    """Return the chance to recall a card `now`, from 0 to 1, by the scheduler's curve.

    The curve says 1 on the day of any answer. What went wrong last is not recalled for that: it
    counts as 0 until it is answered right.
    """
    if known.rating == "again":
        return 0.0
    return _scheduler().get_card_retrievability(known.memory, now.astimezone(UTC))


def drill_standing(deck: "Deck", recalls: Sequence[Event], now: datetime) -> DrillStanding:
    """Return how whoever gave the answers `recalls` stands `now` with the cards of `deck`."""
    seen, new = _parted(deck, replay(recalls, now))
    chances = [(card, chance(known, now)) for card, known in seen if known.face == card.face]
    names, faces = {card.name for card, _ in seen}, {card.face for card, _ in seen}
    ours = [
        event.at
        for event in recalls
        if isinstance(event.data, Recalled)
        and (event.data.card in names or event.data.face in faces)
    ]
    return DrillStanding(
        due=sum(is_waiting(card, known, now) for card, known in seen),
        new=len(new),
        seen=len(seen),
        answers=len(ours),
        retention=fmean(each for _, each in chances) if chances else None,
        weakest_gates=_weakest(chances),
        last_at=ours[-1] if ours else None,
    )


def _weakest(chances: Iterable[tuple["DeckCard", float]]) -> tuple[tuple[str, float], ...]:
    by_gate: dict[str, list[float]] = {}
    for card, each in chances:
        if card.gate is not None:
            by_gate.setdefault(card.gate, []).append(each)
    means = sorted(((gate, fmean(each)) for gate, each in by_gate.items()), key=lambda of: of[1])
    return tuple(means[:MOST_WEAK])
