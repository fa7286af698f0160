"""A card as it is shown to a trainee who has done its step right several times: shorter.

The details of the step go, and its why; all else of the card stays byte for byte as it was.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from baycompanion.learning.fading import Level, level_after
from baycompanion.learning.short_text import shortened
from baycompanion.procedure.steps import Step
from baycompanion.text.counted import counted
from baycompanion.views.card.card import Card, Piece
from baycompanion.views.card.wording import detail_piece

FADING = ("step", "look")
"""The kinds of card that say how a step is done. No other is ever shortened."""

SHOWS_ALL = "F8"
"""The key of the screens that shows everything again."""


@dataclass(frozen=True, slots=True)
class Guided:
    """A card and the why below it, as they are shown."""

    card: Card
    why: str
    short: bool = False
    """Whether anything was left out."""


def faded(card: Card, step: Step, why: str, times: int, fade_after: int) -> Guided:
    """Return `card`, which is about `step`, with the `why` below it, both as short as they may be.

    The step was done right so many `times` in a row; `fade_after` is from how many on it fades.
    """
    level = level_after(times, fade_after)
    if level == "full" or card.kind not in FADING:
        return Guided(card, why)
    end = _end_of_details(card, step)
    told, rest = card.pieces[:end], card.pieces[end:]
    short = tuple(_pieces(told, step, level))
    short_why = shortened(why, step, level) if why else ""
    if short == told and short_why == why:
        return Guided(card, why)
    says = f"{_in_words(times, fade_after)} All of it: {SHOWS_ALL}."
    said = Piece("quiet", says, key=SHOWS_ALL)
    return Guided(replace(card, pieces=(*short, said, *rest)), short_why, short=True)


def _end_of_details(card: Card, step: Step) -> int:
    """Return where what says how the step is done ends; without details, where all pieces end."""
    details = frozenset(map(detail_piece, step.details))
    ends = (at for at, piece in enumerate(card.pieces, 1) if piece in details)
    return max(ends, default=len(card.pieces))


def _pieces(told: Iterable[Piece], step: Step, level: Level) -> Iterator[Piece]:
    """Yield the pieces in `told` with the details as short as `level` leaves them."""
    details = {detail_piece(detail): detail for detail in step.details}
    for piece in told:
        if piece not in details:
            yield piece
        elif left := shortened(details[piece], step, level):
            yield detail_piece(left)


def _in_words(times: int, fade_after: int) -> str:
    """Return the sentence that says that something was left out, and why."""
    in_a_row = (
        f"done right {counted(times, 'time')} in a row" if times > 1 else "done right last time"
    )
    return f"Shown short: {in_a_row} (from {fade_after} on)."
