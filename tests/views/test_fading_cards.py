"""A card that is shown short: what goes, what stays to the letter, and the line that says so."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from bay import SMALL, Bay
from trained_shop import PROCEDURE

from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step
from baycompanion.store.shelf import list_procedures, read_procedure, shipped
from baycompanion.views.card.card import Card, Piece
from baycompanion.views.card.cards import job_card, look_card
from baycompanion.views.card.fading import FADING, Guided, faded
from baycompanion.views.card.step import answer_card
from baycompanion.views.card.wording import carried, caution_short

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
MIRROR = load_procedure(PROCEDURE, "mirror.yaml").procedure
LAID = MIRROR.steps["lead-laid"]
TIMES = (0, 2, 3, 4, 5, 6, 7, 100)


def card_of(procedure: Procedure, step: Step, kind: str = "step") -> Card:
    """Return a card as the step's own pieces make it, around pieces of something else."""
    return Card(
        kind=kind,
        heading="Step 2 of 5",
        title=step.text,
        before=tuple(map(caution_short, step.cautions)),
        pieces=(Piece("label", "Again: it shows"), *carried(procedure, step)),
        step=step.id,
    )


def at(times: int, card: Card, step: Step, after: int = 3) -> Guided:
    return faded(card, step, step.why or "", times, after)


def told(guided: Guided) -> list[str]:
    return [piece.words for piece in guided.card.pieces]


def test_at_the_number_first_words_stand_and_one_quiet_line_says_so() -> None:
    short = at(4, card_of(MIRROR, LAID), LAID)
    assert short.short
    assert told(short) == [
        "Again: it shows",
        "Tools: Trim tool",
        "• Push the lead in…",
        "• Stay 20 mm clear of the seam at the pillar.",
        "• Never pull at a connector.",
        "• Tape it down.",
        "Shown short: done right 4 times in a row (from 3 on). All of it: F8.",
        "Photo: wanted (F3)",
        "Target: 5 min",
    ]
    assert short.card.pieces[6].tone == "quiet"
    assert short.why == "The lead that is…"


def test_at_twice_the_number_the_sentence_stands_with_what_never_fades() -> None:
    bare = at(6, card_of(MIRROR, LAID), LAID)
    assert told(bare) == [
        "Again: it shows",
        "Tools: Trim tool",
        "• Stay 20 mm clear of the seam at the pillar.",
        "• Never pull at a connector.",
        "Shown short: done right 6 times in a row (from 3 on). All of it: F8.",
        "Photo: wanted (F3)",
        "Target: 5 min",
    ]
    assert bare.why == ""


@pytest.mark.parametrize(("times", "after"), [(2, 3), (0, 1), (500, 0)])
def test_below_the_number_and_where_it_is_0_everything_stands(times: int, after: int) -> None:
    card = card_of(MIRROR, LAID)
    assert at(times, card, LAID, after) == Guided(card, LAID.why or "")


def test_where_once_is_enough_the_line_says_it_in_plain_words() -> None:
    once = at(1, card_of(MIRROR, LAID), LAID, after=1)
    assert "Shown short: done right last time (from 1 on). All of it: F8." in told(once)


def test_a_step_that_is_short_already_says_nothing_of_it() -> None:
    shown = MIRROR.steps["shown"]
    card = card_of(MIRROR, shown)
    assert at(100, card, shown) == Guided(card, "")


def test_a_why_alone_may_fade() -> None:
    step = LAID.model_copy(update={"details": ()})
    short = at(3, card_of(MIRROR, step), step)
    assert short.why == "The lead that is…"
    assert told(short)[-1].startswith("Shown short: ")


def test_a_why_that_is_hidden_does_not_count_as_shortened() -> None:
    step = LAID.model_copy(update={"details": ()})
    card = card_of(MIRROR, step)
    assert faded(card, step, "", 3, 3) == Guided(card, "")


def steps() -> Iterator[tuple[Procedure, Step]]:
    """Yield every step that there is to look at: the shipped ones, the small one, the mirror."""
    shelf = list_procedures(shipped("procedures") / "none")
    assert len(shelf) >= 3
    read = [read_procedure(path).procedure for path in shelf.values()]
    for procedure in (*read, SMALL, MIRROR):
        for step in procedure.steps.values():
            yield procedure, step


def test_nothing_but_details_and_why_ever_changes() -> None:
    """Requirement 70: cautions, gates, limits and readings are the same at every level."""
    shortened = 0
    for procedure, step in steps():
        card = answer_card(procedure, Bay(procedure).state, step, NOW)
        stays = [piece for piece in card.pieces if not piece.words.startswith("• ")]
        limits = [d for d in step.details if any(letter.isdigit() for letter in d)]
        for times in TIMES:
            guided = at(times, card, step)
            left = [p for p in guided.card.pieces if not p.words.startswith(("• ", "Shown short"))]
            assert replace(guided.card, pieces=card.pieces) == card
            assert left == stays
            assert {f"• {limit}" for limit in limits} <= set(told(guided))
            assert guided.short == (guided != Guided(card, step.why or ""))
            shortened += guided.short
    assert shortened > 100


@pytest.mark.parametrize("kind", ["caution", "gate", "standing", "unsettled", "paused", "close"])
def test_no_other_card_is_ever_shortened(kind: str) -> None:
    assert kind not in FADING
    card = card_of(MIRROR, LAID, kind)
    assert at(100, card, LAID).card is card


def test_the_step_in_hand_and_the_step_looked_at_are_shortened_alike() -> None:
    bay = Bay(MIRROR)
    looked = look_card(MIRROR, bay.state, LAID, NOW)
    short = at(4, looked, LAID)
    assert "• Push the lead in…" in told(short)
    assert short.card.before == looked.before and "opens" in short.card.before[1].words
    assert job_card(MIRROR, bay.state, (), NOW).kind == "hazards"
