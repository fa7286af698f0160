"""Cards that no procedure made: what spacing needs of a deck, and a log of answers to them."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from baycompanion.job.events.event import Event, seal
from baycompanion.job.events.moment import write_moment
from baycompanion.learning.drill.recalls import Rating, Recalled
from baycompanion.learning.drill.schedule import answered, replay

START = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


@dataclass(frozen=True)
class MadeUpCard:
    name: str
    face: str = ""
    kind: str = "tool"
    procedure: str = "lamp"
    phase: str = "fit"
    step: str | None = None
    gate: str | None = None

    def __post_init__(self) -> None:
        if not self.face:
            object.__setattr__(self, "face", f"face of {self.name}")


@dataclass(frozen=True)
class MadeUpDeck:
    cards: tuple[MadeUpCard, ...]
    fewer: tuple[str, ...] = ()


def deck_of(*names: str, **others: str) -> MadeUpDeck:
    return MadeUpDeck(tuple(MadeUpCard(name, **others) for name in names))


@dataclass
class Log:
    """Answers as the program would write them, one after the other."""

    events: list[Event] = field(default_factory=list)

    def answer(self, card: MadeUpCard, rating: Rating, when: datetime, clock: datetime) -> Event:
        """Add the answer of a moment `when`, written by a terminal whose `clock` may be wrong."""
        known = replay(self.events, when).of(card.name, card.face)
        after = answered(known, card.face, rating, when)
        data = Recalled(
            procedure=card.procedure,
            revision=1,
            card=card.name,
            face=card.face,
            asked="tool",
            phase=card.phase,
            gate=card.gate,
            right=rating != "again",
            rating=rating,
            given=["x"],
            due=write_moment(after.due),
        )
        last = self.events[-1] if self.events else None
        chained = (last.seq + 1, last.hash) if last else ()
        self.events.append(seal(data, "T3", clock, *chained))
        return self.events[-1]

    def say(self, card: MadeUpCard, rating: Rating, when: datetime) -> Event:
        return self.answer(card, rating, when, when)


def changed(card: MadeUpCard, face: str) -> MadeUpCard:
    return replace(card, face=face)
