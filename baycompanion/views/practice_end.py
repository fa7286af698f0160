"""How a practice ended, in words: what was caught, what slipped, what was run into."""

from collections.abc import Iterator

from baycompanion.learning.practice_summary import PlantedOutcome, PracticeSummary, RunInto
from baycompanion.procedure.model import Procedure
from baycompanion.views.card import Card, Piece

MOST_STEPS = 8
"""Steps answered without a look that are named; of more, how many there are."""


def end_card(procedure: Procedure, summary: PracticeSummary, phase: str | None) -> Card:
    """Return the last card of a practice, of one phase alone where `phase` names it."""
    what = f"“{procedure.phase_named[phase].title}” alone" if phase else "The practice"
    return Card(
        kind="ended",
        heading=f"{what} has ended. Seed {summary.seed}",
        title=caught_line(procedure, summary, phase),
        pieces=(
            *end_pieces(procedure, summary, phase),
            Piece("quiet", "To read it again: baycompanion practice --list"),
        ),
    )


def caught_line(procedure: Procedure, summary: PracticeSummary, phase: str | None) -> str:
    """Return how many of the planted faults were caught."""
    planted = planted_in(procedure, summary, phase)
    if not planted:
        return "No fault was planted."
    caught = sum(each.caught_at is not None for each in planted)
    faults = "fault" if len(planted) == 1 else "faults"
    return f"{caught} of {len(planted)} planted {faults} caught."


def planted_in(
    procedure: Procedure, summary: PracticeSummary, phase: str | None
) -> tuple[PlantedOutcome, ...]:
    """Return the planted faults that could be caught: of one phase alone, those that show there."""
    if phase is None:
        return summary.planted
    return tuple(
        each
        for each in summary.planted
        if each.would_have_caught and _phase(procedure, each.would_have_caught[0]) == phase
    )


def end_pieces(
    procedure: Procedure, summary: PracticeSummary, phase: str | None
) -> Iterator[Piece]:
    """Yield what is told at the end, planted faults first."""
    for planted in planted_in(procedure, summary, phase):
        yield from _outcome(procedure, planted)
    yield from map(_ran_into(procedure), summary.ran_into)
    if summary.next_asked:
        yield Piece(
            "label", f"What comes next: {summary.next_right} of {summary.next_asked} said right."
        )
    not_looked = [
        name for name in summary.not_looked if phase is None or _phase(procedure, name) == phase
    ]
    if not_looked:
        numbers = ", ".join(str(procedure.number[name]) for name in not_looked[:MOST_STEPS])
        more = len(not_looked) - MOST_STEPS
        others = f" and {more} more" if more > 0 else ""
        steps = "Step" if len(not_looked) == 1 else "Steps"
        yield Piece("label", f"{steps} answered without a look: {numbers}{others}.")


def _outcome(procedure: Procedure, planted: PlantedOutcome) -> Iterator[Piece]:
    if planted.caught_at is not None:
        at = _named(procedure, planted.caught_at)
        yield Piece("good", f"✓ Caught: {planted.name} At step {at}")
        return
    yield Piece("bad", f"! Slipped through: {planted.name} {planted.slipped}".strip())
    for name in planted.would_have_caught:
        yield Piece("plain", f"• Would have caught it: step {_named(procedure, name)}")


def _ran_into(procedure: Procedure):  # type: ignore[no-untyped-def]
    def said(each: RunInto) -> Piece:
        step = _named(procedure, each.step)
        if each.gate is not None:
            return Piece("warning", f"Ran into gate {each.gate} with step {step} {each.because}")
        return Piece("warning", f"Without its protection: step {step} {each.because}")

    return said


def _named(procedure: Procedure, step: str) -> str:
    return f"{procedure.number[step]}. {procedure.steps[step].text}"


def _phase(procedure: Procedure, step: str) -> str | None:
    return procedure.phase_of[step].phase if step in procedure.steps else None
