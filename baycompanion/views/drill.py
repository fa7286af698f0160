"""What a drill says: where one is in it, what is said of an answer, what came of the sitting."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from baycompanion.learning.drill.question import Question, Verdict
from baycompanion.learning.drill.schedule import NEW_A_DAY, RETENTION, DrillStanding
from baycompanion.text.counted import counted
from baycompanion.views.card.card import Field, Form, Piece


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a sitting."""

    who: str
    procedures: tuple[str, ...]
    asked: int
    """Questions that were answered, each counted once."""
    right: int
    """Those that were right at once, without help."""
    helped: int
    """Those that were right at once after a hint."""
    back: tuple[datetime, ...]
    """When each of them comes back."""
    left: int
    """Questions that wait and were not asked."""
    known: tuple[datetime, ...]
    """When each card that was ever answered comes back."""
    unseen: int
    """Cards that were never answered."""
    fewer: tuple[str, ...]
    """Which kinds of question the procedures do not give, and why."""


FIRST_OF_ORDER = ": 1. "
"""Where the words about an order begin to list its steps."""

MOST_DAYS = 3
"""Days that are named where nothing is due."""

HOW = {
    "order": "Press the numbers one after the other, the first one first.",
    "misplaced": "Press the number of the line that does not belong where it stands.",
}
"""How a question is answered that asks for more than its own words say."""


def how_to_answer(question: Question) -> str:
    """Return how `question` is answered with the digits of its options."""
    return HOW.get(question.card.kind, "Press the number of the answer.")


def after_answer(question: Question, verdict: Verdict, helped: bool) -> Iterator[Piece]:
    """Yield what is said once `question` is answered: right or not, the right answer, and why."""
    if verdict.right:
        yield Piece("good", "✓ RIGHT, with a hint" if helped else "✓ RIGHT")
    else:
        yield Piece("bad", "✗ NOT RIGHT. This is the answer:")
    yield from (Piece("plain", line) for line in _right_answer(question, verdict))
    if question.why:
        yield Piece("why", f"Why: {question.why}")


def _right_answer(question: Question, verdict: Verdict) -> Iterator[str]:
    """Yield what is right; an order of steps has a line for each, so that it can be read down."""
    told, listed, _ = verdict.words.partition(FIRST_OF_ORDER)
    if not question.own_order or not listed:
        yield verdict.words
        return
    yield f"{told}:"
    named = {option.name: option.words for option in question.options}
    for number, name in enumerate(question.own_order, 1):
        yield f"{number}. {named[name]}"


def outcome_lines(outcome: Outcome, now: datetime) -> Iterator[str]:
    """Yield what came of a sitting, or why there was none, a sentence or two a line."""
    if outcome.asked:
        helped = f", {outcome.helped} with a hint" if outcome.helped else ""
        yield f"{outcome.right} of {counted(outcome.asked, 'question')} right at once{helped}."
        yield f"Coming back: {', '.join(comes_back(outcome.back, now))}."
    elif outcome.left:
        yield "Nothing was answered."
    else:
        yield f"Nothing is due for {outcome.who} in {', '.join(outcome.procedures)}."
        if outcome.known:
            yield f"Next: {', '.join(comes_back(outcome.known, now)[:MOST_DAYS])}."
        if outcome.unseen:
            yield f"{counted(outcome.unseen, 'new question')} will come, {NEW_A_DAY} a day at most."
    if outcome.left:
        yield f"Still waiting: {outcome.left}."
    yield from outcome.fewer


ONLY_PRACTICE = "only practice"
"""What a procedure offers to somebody whose answers cannot be read."""


def due_words(number: int, new: int) -> str:
    """Return how many cards are due and new, in a few words."""
    told = [f"{number} due"] if number else []
    return " · ".join([*told, *([f"{new} new"] if new else [])]) or "nothing due"


def comes_back(moments: Iterable[datetime], now: datetime) -> list[str]:
    """Return how many of `moments` fall on which day, the nearest first, in the zone of `now`."""
    days = Counter(_day(each, now) for each in sorted(moments))
    return [f"{number} {day}" for day, number in days.items()]


def _day(moment: datetime, now: datetime) -> str:
    there = moment.astimezone(now.tzinfo)
    if moment <= now + timedelta(hours=1):
        return "within the hour"
    days = (there.date() - now.date()).days
    if days <= 1:
        return "tomorrow" if days == 1 else "today"
    return f"on {there:%a} {there.day} {there:%B}" + ("" if days < 300 else f" {there.year}")


def standing_words(standing: DrillStanding) -> str:
    """Return how somebody stands with a procedure: what they know, and what they know least."""
    whole = standing.seen + standing.new
    told = [f"Asked so far: {standing.seen} of {counted(whole, 'question')}."]
    if standing.retention is not None:
        told.append(f"Likely to be right today: {standing.retention:.0%} of them.")
    if standing.weakest_gates and standing.weakest_gates[0][1] < RETENTION:
        told.append(f"Least known: the gate {standing.weakest_gates[0][0]}.")
    return " ".join(told)


def phase_form(phases: Mapping[str, str]) -> Form[str]:
    """Ask which phase is drilled alone, of `phases` by their titles; makes its id."""

    def make(given: Mapping[str, str]) -> str:
        return phases[given["phase"]]

    lead = (Piece("label", "A hard part can be drilled alone; then take it with the others."),)
    field = Field("phase", "Phase", tuple(phases))
    return Form("One phase alone", (field,), make, lead, accept="Drill")
