"""How a practice ended, in words: what was caught, what slipped, what was run into."""

from collections import Counter
from collections.abc import Iterator, Sequence

from baycompanion.learning.practice.summary import PlantedOutcome, PracticeSummary
from baycompanion.learning.practice.taken_for import TakenFor
from baycompanion.procedure.model import Procedure
from baycompanion.text.sentence import sentence
from baycompanion.views.card.card import Card, Piece

MOST_STEPS = 8
"""Steps answered without a look that are named; of more, how many there are."""


def end_card(procedure: Procedure, summary: PracticeSummary, mistaken: Sequence[TakenFor]) -> Card:
    """Return the last card of a practice; `mistaken` is what the vehicle was wrongly taken for."""
    alone = procedure.phase_named[summary.phase].title if summary.phase is not None else ""
    what = f"“{alone}” alone" if alone else "The practice"
    return Card(
        kind="ended",
        heading=f"{what} has ended. Seed {summary.seed}",
        title=caught_line(procedure, summary),
        pieces=(
            *end_pieces(procedure, summary, mistaken),
            Piece("quiet", "To read it again: baycompanion practice --list"),
        ),
    )


def caught_line(procedure: Procedure, summary: PracticeSummary) -> str:
    """Return how many of the planted faults were caught."""
    planted = planted_in(procedure, summary)
    if not planted:
        return "No fault was planted here."
    caught = sum(each.caught_at is not None for each in planted)
    faults = "fault" if len(planted) == 1 else "faults"
    return f"{caught} of {len(planted)} planted {faults} caught."


def planted_in(procedure: Procedure, summary: PracticeSummary) -> tuple[PlantedOutcome, ...]:
    """Return the planted faults that could be caught: of one phase alone, those that show there."""
    if summary.phase is None:
        return summary.planted
    return tuple(
        each
        for each in summary.planted
        if each.would_have_caught and _lies_in(procedure, each.would_have_caught[0], summary)
    )


def end_pieces(
    procedure: Procedure, summary: PracticeSummary, mistaken: Sequence[TakenFor]
) -> Iterator[Piece]:
    """Yield what is told at the end, planted faults first."""
    for planted in planted_in(procedure, summary):
        yield from _outcome(procedure, planted)
    for wrong in mistaken:
        said = f"{wrong.title} was answered {wrong.answered}, and is {wrong.really}."
        yield Piece("bad", f"! The vehicle was mistaken: {said}")
    ran_into = Counter((each.step, each.gate, each.because) for each in summary.ran_into)
    for (step, gate, because), times in ran_into.items():
        yield _ran_into(_named(procedure, step), gate, because, times)
    if summary.next_asked:
        said = f"{summary.next_right} of {summary.next_asked}"
        yield Piece("label", f"What comes next was said right {said} times.")
    yield from _not_looked(procedure, summary)


def _outcome(procedure: Procedure, planted: PlantedOutcome) -> Iterator[Piece]:
    if planted.caught_at is not None:
        at = _named(procedure, planted.caught_at)
        yield Piece("good", f"✓ Caught: {sentence(planted.name)} At step {at}")
        return
    yield Piece("bad", f"! Slipped through: {sentence(planted.name)} {planted.slipped}".strip())
    for name in planted.would_have_caught:
        yield Piece("plain", f"• Would have caught it: step {_named(procedure, name)}")


def _ran_into(step: str, gate: str | None, because: str, times: int) -> Piece:
    often = f" {times} times" if times > 1 else ""
    if gate is not None:
        return Piece("warning", f"! Ran into gate {gate}{often} with step {step} {because}")
    return Piece("warning", f"! Without its protection{often}, step {step} {because}")


def _not_looked(procedure: Procedure, summary: PracticeSummary) -> Iterator[Piece]:
    """Yield which steps were answered without a look; of one phase alone only those in it."""
    steps = [name for name in summary.not_looked if _lies_in(procedure, name, summary)]
    if steps:
        numbers = ", ".join(str(procedure.number[name]) for name in steps[:MOST_STEPS])
        more = f" and {len(steps) - MOST_STEPS} more" if len(steps) > MOST_STEPS else ""
        said = "Step" if len(steps) == 1 else "Steps"
        yield Piece("label", f"{said} answered without a look: {numbers}{more}.")


def _named(procedure: Procedure, step: str) -> str:
    return f"{procedure.number[step]}. {procedure.steps[step].text}"


def _lies_in(procedure: Procedure, step: str, summary: PracticeSummary) -> bool:
    """Return whether `step` lies in what was practised."""
    return summary.phase in (None, procedure.phase_of[step].phase)
