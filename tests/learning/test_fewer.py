"""Procedures that give few questions: what is missing is said, and what to write."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from any_procedures import procedures
from hypothesis import given
from hypothesis import strategies as st
from yaml_text import as_yaml, from_yaml

from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.question import put_question
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.text.problem import BadFile

HEAD = """\
procedure: small
title: Small
revision: 1
fits: Is it this vehicle?
hazards: none
tools: {tools}
parts: none
phases:
  - phase: only
    title: Only
    target: 9 min
    steps:
"""

TWO_STEPS = """\
      - do: Open the lid.
        id: open
        why: The lead lies below it.
      - do: Close the lid.
        id: close
        why: Dust gets in.
gates:
  - gate: opened
    holds: close
    until: [{done: open}]
    because: What was never open needs no closing.
    override: supervisor
"""

NO_WHY = """\
      - do: Pull the fuse.
        id: fuse
        tools: [puller]
      - measure: Read the voltage.
        id: volts
        unit: V
        at-most: 0.5
        source: Invented.
      - do: Cut the lead.
        id: cut
      - do: Tape its end.
        id: tape
      - do: Put the fuse back.
        id: back
"""

NO_GATES = """\
      - do: Wash the lens.
        id: wash
        why: Dirt scratches.
      - do: Dry the lens.
        id: dry
        why: Drops leave rings.
      - do: Look through the lens.
        id: look
        why: The owner does so first.
      - do: Hang the cloth up.
        id: hang
        why: A wet cloth smells.
"""

ONE_PHASE = (
    NO_GATES
    + """\
gates:
  - gate: dry-first
    holds: look
    until: [{done: wash}, {done: dry}]
    because: A wet lens shows nothing.
    override: supervisor
"""
)

TOOLS = "[{tool: puller, name: Fuse puller}, {tool: cutter, name: Side cutter}]"

ALL = ("next", "gate", "caution", "tool", "limit", "order", "misplaced")
GIVEN = {
    "what comes next": "next",
    "what a gate waits for": "gate",
    "cautions": "caution",
    "tools": "tool",
    "limits": "limit",
    "the order of steps": "order",
    "a step out of its place": "misplaced",
}


def deck_of(steps: str, tools: str = "none") -> Deck:
    """Return the deck of a procedure of one phase."""
    return make_deck(load_procedure(HEAD.format(tools=tools) + steps, "small.yaml").procedure)


@pytest.mark.parametrize(
    ("steps", "tools", "kinds", "sentence"),
    [
        (TWO_STEPS, "none", set(), "No question about what comes next: the procedure has fewer than"
         " 3 steps. Write one step for each act."),
        (TWO_STEPS, "none", set(), "No question about what a gate waits for: too few steps are left"
         " that no gate waits for. Write more steps."),
        (TWO_STEPS, "none", set(), "No question about the order of steps: the procedure has fewer"
         " than 3 steps. Write one step for each act."),
        (NO_WHY, TOOLS, {"limit"}, "No question about what comes next: no step says why it stands"
         " where it does. Write why: at the steps."),
        (NO_WHY, TOOLS, {"limit"}, "No question about tools: no step done with one says why."
         " Write why: at the steps done with a tool."),
        (NO_WHY, TOOLS, {"limit"}, "No question about cautions: no step has one. Write cautions: at"
         " the steps that can do harm."),
        (NO_GATES, "none", {"next"}, "No question about what a gate waits for: the procedure has no"
         " gates. Write gates: with what each waits for."),
        (NO_GATES, "none", {"next"}, "No question about the order of steps: too little says which"
         " step must wait for which. Write gates: with what each waits for."),
        (NO_GATES, "none", {"next"}, "No question about tools: no step names one. Write tools: at"
         " the steps."),
        (NO_GATES, "none", {"next"}, "No question about limits: no step has one. Write at-least:,"
         " at-most: or lasts: where there is a limit."),
        (ONE_PHASE, "none", {"next", "order", "misplaced"}, "No question about what a gate waits"
         " for: too few steps are left that no gate waits for. Write more steps."),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_said_with_what_to_write(
    steps: str, tools: str, kinds: set[str], sentence: str
) -> None:
    deck = deck_of(steps, tools)
    assert {card.kind for card in deck.cards} == kinds
    assert sentence in deck.fewer
    assert len(deck.fewer) == len(ALL) - len(kinds)


@given(procedures(most_steps=5))
def test_every_kind_has_a_card_or_a_sentence(procedure: Procedure) -> None:
    deck = make_deck(procedure)
    made = {card.kind for card in deck.cards}
    said = {GIVEN[s.removeprefix("No question about ").partition(":")[0]] for s in deck.fewer}
    assert made | said == set(ALL)
    assert not made & said
    for sentence in deck.fewer:
        assert ". Write " in sentence
        assert sentence.endswith(".")


def test_fewer_than_five_steps_are_put_in_order_where_there_are_no_more() -> None:
    deck = deck_of(ONE_PHASE)
    (card,) = [card for card in deck.cards if card.kind == "order"]
    question = put_question(deck, card, 5)
    assert question.asks == "Put these four steps in order."
    assert question.why == "A wet lens shows nothing."
    for order in question.accepted:
        assert order.index("look") > max(order.index("wash"), order.index("dry"))
    assert len(question.accepted) == 8  # of 24: look comes last of three, hang anywhere


WHOLE = (Path(__file__).parents[1] / "procedure" / "whole.yaml").read_text(encoding="utf-8")
NAMES = ["tools-out", "ask-camera", "volts", "sheet-after", "before", "camera", "meter", "none"]


def spots(value: Any) -> Iterator[tuple[Any, Any]]:
    """Yield every list or mapping in a file with each key or position in it."""
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        if isinstance(value[key], dict | list):
            yield from spots(value[key])


@given(st.lists(st.tuples(st.integers(0, 300), st.none() | st.sampled_from(NAMES)), max_size=4))
def test_a_procedure_with_errors_gives_what_can_be_made_of_it(
    changes: list[tuple[int, str | None]],
) -> None:
    data = from_yaml(WHOLE)
    for number, value in changes:
        found = list(spots(data))
        container, key = found[number % len(found)]
        if value is None:
            del container[key]
        else:
            container[key] = value
    try:
        procedure = load_procedure(as_yaml(data), "any.yaml").procedure
    except BadFile:
        return
    deck = make_deck(procedure)
    for card in deck.cards:
        assert put_question(deck, card, 1).accepted


CAUTIONS = """\
      - do: Cut the lead.
        id: cut
        cautions:
          - {warning: A blade is sharp., consequence: It cuts., avoid: Cut away from the hand.}
      - do: Trim the tie.
        id: trim
        cautions:
          - {caution: "A blade is  sharp", consequence: It cuts., avoid: Hold the end.}
          - {notice: A stub scratches., consequence: It marks the trim., avoid: Trim it flush.}
      - do: Start the engine.
        id: start
        cautions:
          - {danger: Exhaust gas kills., consequence: Breathing stops., avoid: Open the door.}
"""


def test_the_same_hazard_elsewhere_is_not_offered_as_wrong() -> None:
    deck = deck_of(CAUTIONS)
    asked = {card.step: card for card in deck.cards if card.kind == "caution"}
    offered = {
        option.words
        for seed in range(20)
        for option in put_question(deck, asked["cut"], seed).options
    }
    assert offered == {
        "Warning: A blade is sharp.",
        "Notice: A stub scratches.",
        "Danger: Exhaust gas kills.",
    }
    assert "trim" not in asked  # but one other hazard is left, as good as a coin
