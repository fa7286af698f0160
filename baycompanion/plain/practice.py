"""A practice line by line: begun, walked like a job, and marked as practice whenever it speaks."""

from collections.abc import Callable, Mapping
from datetime import datetime

from baycompanion.plain.form import ask_form, taken
from baycompanion.plain.job import walk
from baycompanion.plain.offers import ABOUT_ANSWERS, OFFERS, step_numbered
from baycompanion.plain.reading import read_pieces
from baycompanion.plain.talk import Leaving, Offer, Talk
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import AT_A_JOB, IN_PRACTICE, read_help
from baycompanion.store.shop import Shop
from baycompanion.views.card.card import Card, Deed, Piece
from baycompanion.views.practice.cards import ASKED_FIRST, LABEL, take_up_deed
from baycompanion.working.practice.practising import AtPractice
from baycompanion.working.practice.start import PracticeStarting

MARK = "PRACTICE: "
"""Begins whatever is said after a line was typed."""

NOT_HERE = {
    "hand over": "A practice stays with whoever began it.",
    "late": "In practice, every answer is one of now.",
    "paper": "In practice, nothing is copied from paper.",
    "photo": "In practice there is nothing to be pictured, and no step asks for a photo.",
    "photos": "In practice there are no photos.",
    "plan": "In practice there is no splice plan; the joins are answered whole.",
    "timeline": "A practice has no timeline.",
    "record": "A practice makes no job record.",
    "revise": "A practice keeps the revision that it began with.",
}
"""Words of a job that do nothing in practice, and why."""

WORDS = (*IN_PRACTICE, *AT_A_JOB)


class PracticeLines:
    """Lines on which the first thing said after each answer is marked as practice."""

    def __init__(self, lines: Lines) -> None:
        """Talk through `lines`."""
        self._lines = lines
        self._mark = MARK

    def say(self, text: str) -> None:
        """Add one line."""
        self._lines.say(self._marked(text))

    def ask(self, prompt: str) -> str:
        """Put a question, and return the line typed."""
        try:
            return self._lines.ask(self._marked(prompt))
        finally:
            self._mark = MARK

    def ask_secret(self, prompt: str) -> str:
        """Put a question whose answer a terminal does not show."""
        try:
            return self._lines.ask_secret(self._marked(prompt))
        finally:
            self._mark = MARK

    def _marked(self, text: str) -> str:
        mark, self._mark = self._mark, ""
        return f"{mark}{text}"


def begin_by_lines(
    shop: Shop,
    lines: Lines,
    now: Callable[[], datetime],
    asked: Mapping[str, str],
    in_full: bool,
) -> Leaving | None:
    """Begin a practice, asking what was not `asked` `in_full`, and walk it until it is left.

    None is returned where the person begins none.

    Raises:
        StoreTrouble: What was asked in full cannot be practised.
        BadFile: The procedure has errors.
        EOFError: The input is at its end; the practice is left.
    """
    marked = PracticeLines(lines)
    starting = PracticeStarting(shop, now)
    if in_full:
        why_not = taken(marked, asked, starting.take)
        if why_not is not None:
            marked.say(why_not)
    else:
        ask_form(marked, starting.form(asked), starting.take)
    return walk_practice(starting.practice, lines) if starting.practice is not None else None


def walk_practice(practice: AtPractice, lines: Lines) -> Leaving:
    """Walk through `practice` until it is left.

    Raises:
        EOFError: The input is at its end; the practice is left.
    """
    marked = PracticeLines(lines)
    marked.say(f"{LABEL.removeprefix('PRACTICE · ').replace(' · ', ', ')}.")
    return walk(Talk(marked, practice, PRACTICE_OFFERS, WORDS))


def _help(talk: Talk, card: Card, rest: str) -> None:
    here = tuple(word for word in WORDS if word.name not in NOT_HERE)
    say_all(talk.lines, [*ABOUT_ANSWERS, *read_help(here)])


def _see(talk: Talk, card: Card, rest: str) -> None:
    """Look at the made-up vehicle, and say what is there."""
    assert isinstance(talk.work, AtPractice)
    look = talk.work.look
    if not isinstance(look, Deed):
        talk.say(look)
        return
    why_not = taken(talk.lines, look, talk.carry_out)
    seen = (Piece("plain", words) for words in talk.work.seen)
    say_all(talk.lines, [why_not] if why_not is not None else read_pieces(seen))


def _take_up(talk: Talk, card: Card, rest: str) -> None:
    """Begin a step now; what it runs into was read where it was looked at."""
    step = step_numbered(talk, rest)
    if step is not None:
        talk.do(take_up_deed(step))


def _unless_asked(offer: Offer) -> Offer:
    """Return `offer`, which tells the order, as one that waits while what comes next is asked."""

    def offered(talk: Talk, card: Card, rest: str) -> Leaving | None:
        assert isinstance(talk.work, AtPractice)
        if talk.work.hides_order:
            talk.say(ASKED_FIRST)
            return None
        return offer(talk, card, rest)

    return offered


def _not_here(why: str) -> Offer:
    def offered(talk: Talk, card: Card, rest: str) -> None:
        talk.say(why)

    return offered


PRACTICE_OFFERS: Mapping[str, Offer] = {
    **OFFERS,
    **{name: _unless_asked(OFFERS[name]) for name in ("where", "steps", "look")},
    **{name: _not_here(why) for name, why in NOT_HERE.items()},
    "see": _see,
    "take up": _unless_asked(_take_up),
    "help": _help,
}
"""By the word of the program, what it does in practice."""
