"""When a card comes back: the open FSRS scheduler, replayed from the log of a person's answers.

The library schedules; here stands what it is given. Its parameters and its steps for new cards (one
minute, ten minutes) are its own defaults. A right answer makes the gap to the next one longer, a
wrong one brings the card back within minutes and makes its gaps short again, from where they grow.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from statistics import fmean
from typing import TYPE_CHECKING

from baycompanion.job.event import Event
from baycompanion.job.moment import moment_of, read_moment
from baycompanion.learning.recalls import EARLY, Rating, Recalled, is_due

if TYPE_CHECKING:
    import fsrs

    from baycompanion.learning.deck import Deck, DeckCard

RETENTION = 0.9
"""The chance to recall a card at the hour when it comes back: the library's default, kept.

At 0.95 the gaps would be 0.4 times as long, so more than twice as many questions, for a gain that
no job needs: there the step, its cautions and its gates stand on the screen. Much below 0.9 so many
answers are wrong that nobody likes to come back.
"""

NEW_A_DAY = 10
"""New cards of a procedure that come in on one day, at most. Own choice: they take some five
minutes, and each comes back two or three times in its first week."""

LONG_AGO = moment_of(0)
"""When something was written that no clock can be believed about."""

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


Memories = dict[str, Remembered]
"""What is known of each card that was answered, by its name."""


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
    memories: Memories = {}
    moments = believed([read_moment(event.at) for event in recalls], now)
    for event, when in zip(recalls, moments, strict=True):
        data = event.data
        if isinstance(data, Recalled):
            before = memories.get(data.card)
            memories[data.card] = answered(before, data.face, data.rating, when)
    return memories


def believed(moments: Sequence[datetime], now: datetime) -> list[datetime]:
    """Return when each line of a log was written, its clock having been wrong now and then.

    Lines are written one after the other. The most moments that agree with this order, and do not
    lie beyond `now`, are believed; any other line counts as written with the one before it. So
    neither a day in 1970 nor one in 2040 moves the cards of the others. Where none is believed, all
    of it was long ago: with a clock set back for good, every card is asked, rather than none.
    """
    kept = _longest_in_order(moments, now)
    believable = set(kept)
    whole: list[datetime] = []
    last = moments[kept[0]] if kept else min(LONG_AGO, now)
    for place, moment in enumerate(moments):
        last = moment if place in believable else last
        whole.append(last)
    return whole


def _longest_in_order(moments: Sequence[datetime], now: datetime) -> list[int]:
    """Return the places of the most moments up to `now` none of which is before an earlier one.

    Each moment ends the longest such row that it can end; of rows alike, the earliest end is kept.
    """
    ends: list[datetime] = []
    places: list[int] = []
    before: list[int | None] = [None] * len(moments)
    for place, moment in enumerate(moments):
        if moment > now:
            continue
        length = bisect_right(ends, moment)
        before[place] = places[length - 1] if length else None
        ends[length:] = [moment, *ends[length + 1 :]]
        places[length:] = [place, *places[length + 1 :]]
    row: list[int] = []
    at = places[-1] if places else None
    while at is not None:
        row.append(at)
        at = before[at]
    return row[::-1]


def is_waiting(card: "DeckCard", known: Remembered | None, now: datetime) -> bool:
    """Return whether a card that was answered before is to be asked `now`."""
    return known is not None and (known.face != card.face or is_due(known.due, known.last, now))


def waiting(deck: "Deck", memories: Memories, now: datetime, phase: str | None = None) -> Waiting:
    """Return what is to be asked `now` of `deck`, or of one `phase` of it.

    A card that a new revision changed is due at once, and keeps its past: where the old answer
    still serves it goes on as before, and else it comes back at short gaps like any wrong one.
    """
    cards = [card for card in deck.cards if phase in (None, card.phase)]
    due = [card for card in cards if is_waiting(card, memories.get(card.name), now)]
    new = [card for card in cards if card.name not in memories]
    return Waiting(tuple(_by_age(due, memories)), tuple(new[: _room_today(deck, memories, now)]))


def everything(deck: "Deck", memories: Memories, phase: str | None = None) -> Waiting:
    """Return all cards of `deck`, or of one `phase` of it, whether they are due or not."""
    cards = [card for card in deck.cards if phase in (None, card.phase)]
    seen = [card for card in cards if card.name in memories]
    new = tuple(card for card in cards if card.name not in memories)
    return Waiting(tuple(_by_age(seen, memories)), new)


def _by_age(cards: Iterable["DeckCard"], memories: Memories) -> list["DeckCard"]:
    """Return cards that were answered before: what changed, then what was due first."""

    def age(card: "DeckCard") -> tuple[bool, datetime]:
        known = memories[card.name]
        return known.face == card.face, known.due

    return sorted(cards, key=age)


def _room_today(deck: "Deck", memories: Memories, now: datetime) -> int:
    """Return how many new cards may still come in on the day of `now`, in its own zone."""
    firsts = (memories[card.name].first for card in deck.cards if card.name in memories)
    came = sum(first.astimezone(now.tzinfo).date() == now.date() for first in firsts)
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
    memories = replay(recalls, now)
    known = [(card, memories[card.name]) for card in deck.cards if card.name in memories]
    chances = [(card, chance(old, now)) for card, old in known if old.face == card.face]
    names = {card.name for card, _ in known}
    ours = [e for e in recalls if isinstance(e.data, Recalled) and e.data.card in names]
    return DrillStanding(
        due=sum(is_waiting(card, old, now) for card, old in known),
        new=len(deck.cards) - len(known),
        seen=len(known),
        answers=len(ours),
        retention=fmean(each for _, each in chances) if chances else None,
        weakest_gates=_weakest(chances),
        last_at=ours[-1].at if ours else None,
    )


def _weakest(chances: Iterable[tuple["DeckCard", float]]) -> tuple[tuple[str, float], ...]:
    by_gate: dict[str, list[float]] = {}
    for card, each in chances:
        if card.gate is not None:
            by_gate.setdefault(card.gate, []).append(each)
    means = sorted(((gate, fmean(each)) for gate, each in by_gate.items()), key=lambda of: of[1])
    return tuple(means[:MOST_WEAK])
