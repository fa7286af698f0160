"""What can be asked, before answers are drawn: a card, its right answers and wrong ones near it."""

import hashlib
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Literal, TypeAlias

from baycompanion.job.events.chain import canonical
from baycompanion.learning.drill.question_words import alike
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step

Kind = Literal["next", "gate", "caution", "tool", "limit", "order", "misplaced"]
FEWEST_WRONG = 2
"""With fewer wrong answers to choose from, a question is as good as a coin."""

MOST_FAR = 20
"""Wrong answers from other phases that are looked for; the nearest are the most plausible."""


@dataclass(frozen=True, slots=True)
class DeckCard:
    """A question that comes back."""

    name: str
    """Its name, the same in every revision: `receiver-swap/tool/trim-off`."""
    face: str
    """The SHA-256, in hex, of all that makes the question and its right answer."""
    kind: Kind
    procedure: str
    phase: str
    step: str | None = None
    gate: str | None = None


@dataclass(frozen=True, slots=True)
class Option:
    """One answer that may be given."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class Right:
    """A right answer, and why it is right."""

    option: Option
    why: str
    lead: tuple[str, ...] = ()
    """What is said of the vehicle besides, on which it is right."""


@dataclass(frozen=True, slots=True)
class Picked:
    """A question with one answer to pick: one of the right ones is offered among wrong ones."""

    card: DeckCard
    asks: str
    lead: tuple[str, ...]
    rights: tuple[Right, ...]
    wrongs: tuple[tuple[Option, ...], ...]
    """Wrong answers, the most plausible ones first."""


@dataclass(frozen=True, slots=True)
class Arranged:
    """A question about the order of some steps."""

    card: DeckCard
    asks: str
    lead: tuple[str, ...]
    steps: tuple[Option, ...]
    """The steps, as the file has them."""
    orders: frozenset[tuple[str, ...]]
    """Every order of them that the procedure allows."""
    why: str


Asked: TypeAlias = Picked | Arranged


@dataclass(frozen=True, slots=True)
class About:
    """What a card is about."""

    procedure: Procedure
    kind: Kind
    phase: str
    step: str | None = None
    gate: str | None = None
    part: str = ""
    """What sets several cards of one kind about one step apart."""

    def card(self, *shown: object) -> DeckCard:
        """Return the card whose question and right answer are made of `shown`: texts and lists."""
        named = [self.procedure.procedure, self.kind, self.step or self.gate or self.phase]
        face = hashlib.sha256(canonical({"kind": self.kind, "shown": list(shown)})).hexdigest()
        name = "/".join([*named, self.part] if self.part else named)
        return DeckCard(
            name, face, self.kind, self.procedure.procedure, self.phase, self.step, self.gate
        )


def picked(
    about: About,
    asks: str,
    lead: Iterable[str],
    rights: Iterable[Right],
    wrongs: Iterable[Iterable[Option]],
    also_shown: Iterable[str] = (),
) -> Picked | None:
    """Return the question, or None where there are no right or too few wrong answers.

    A wrong answer that reads like a right one, or like another, is left out. `also_shown` is what
    goes with the right answers besides their words.
    """
    lead, rights = tuple(lead), tuple(rights)
    known = {alike(right.option.words) for right in rights}
    groups = tuple(tuple(_new(group, known)) for group in wrongs)
    if not rights or sum(map(len, groups)) < FEWEST_WRONG:
        return None
    answers = [right.option.words for right in rights]
    card = about.card(asks, list(lead), answers, list(also_shown))
    return Picked(card, asks, lead, rights, groups)


def _new(options: Iterable[Option], known: set[str]) -> Iterator[Option]:
    for option in options:
        if alike(option.words) not in known:
            known.add(alike(option.words))
            yield option


def near_and_far(
    procedure: Procedure, phases: Collection[str], step: str, wrong: Callable[[Step], bool]
) -> tuple[list[Step], list[Step]]:
    """Return the wrong steps of some phases, and some others, those nearest to `step` first."""
    here = procedure.number[step]
    steps = sorted(procedure.steps.values(), key=lambda each: abs(procedure.number[each.id] - here))
    inside = [each for each in steps if procedure.phase_of[each.id].phase in phases]
    outside = (each for each in steps if procedure.phase_of[each.id].phase not in phases)
    return list(filter(wrong, inside)), list(islice(filter(wrong, outside), MOST_FAR))
