"""Limits asked about: wrong ones are of the same unit, and none means what the right one does.

Values are compared by the pint library, which reads the words of the options by itself.
"""

import re
from decimal import Decimal
from functools import cache
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from yaml_text import as_yaml

from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.question import judge, put_question
from baycompanion.procedure.load import load_procedure

HEAD: dict[str, Any] = {
    "procedure": "limits",
    "title": "Limits",
    "revision": 1,
    "fits": "Is it this vehicle?",
    "hazards": "none",
    "tools": "none",
    "parts": "none",
}


def deck_of(*phases: list[dict[str, Any]]) -> Deck:
    """Return the deck of a procedure of these steps, phase by phase."""
    listed = [
        {"phase": f"phase-{number}", "title": "P", "target": "9 min", "steps": steps}
        for number, steps in enumerate(phases)
    ]
    text = as_yaml({**HEAD, "phases": listed})
    return make_deck(load_procedure(text, "limits.yaml").procedure)


def reading(name: str, unit: str, low: object = None, high: object = None) -> dict[str, Any]:
    """Return a step that measures against limits."""
    step = {"measure": f"Read {name}.", "id": name, "unit": unit, "source": "Invented."}
    limits = {"at-least": low, "at-most": high}
    return step | {key: str(value) for key, value in limits.items() if value is not None}


@cache
def _registry() -> pint.UnitRegistry:
    return pint.UnitRegistry(non_int_type=Decimal)


def meaning(words: str) -> tuple[Decimal | None, Decimal | None, str]:
    """Return the least, the most and the dimension that `words` tell, in base units."""
    numbers = r"(-?[0-9.]+)(?: to (-?[0-9.]+))?"
    match = re.fullmatch(numbers + r"(?: ± [0-9.]+)? (\S+(?: m| in)?)( or (more|less))?", words)
    assert match, words
    first, second, unit, _, side = match.groups()
    spelt = {"Ω": "ohm", "N m": "N*m", "lbf in": "lbf*inch"}.get(unit, unit)

    def base(number: str) -> Decimal:
        found: Decimal = _registry().Quantity(Decimal(number), spelt).to_base_units().magnitude
        return found.normalize()

    dimension = str(_registry().Quantity(Decimal(1), spelt).dimensionality)
    low = None if side == "less" else base(first)
    high = base(second) if second else base(first) if side == "less" else None
    return low or None, high, dimension


UNITS = st.sampled_from(["A", "mA", "V", "mV", "Ω"])
VALUES = st.decimals("0.01", 500, places=2).map(lambda value: value.normalize())


@st.composite
def readings(draw: st.DrawFn) -> list[dict[str, Any]]:
    steps = []
    for number in range(draw(st.integers(1, 5))):
        low, high = sorted((draw(VALUES), draw(VALUES)))
        one = draw(st.sampled_from(["low", "high", "both"]))
        limits = (low if one != "high" else None, high if one != "low" else None)
        unit = draw(UNITS)
        steps.append(reading(f"r{number}", unit, *(f"{x:f}" if x else None for x in limits)))
    return steps


@given(readings(), st.integers(0, 99))
def test_no_wrong_limit_means_what_the_right_one_does(
    steps: list[dict[str, Any]], seed: int
) -> None:
    deck = deck_of(steps)
    assert [card.step for card in deck.cards if card.kind == "limit"] == [s["id"] for s in steps]
    for card in deck.cards:
        if card.kind == "limit":
            question = put_question(deck, card, seed)
            told = {option.name: meaning(option.words) for option in question.options}
            (right,) = question.accepted[0]
            step = next(step for step in steps if step["id"] == card.step)
            limits = [
                _registry().Quantity(Decimal(step[key]), step["unit"].replace("Ω", "ohm"))
                for key in ("at-least", "at-most")
                if key in step
            ]
            expected = [limit.to_base_units().magnitude for limit in limits]
            assert [bound for bound in told[right][:2] if bound is not None] == expected
            others = [each for name, each in told.items() if name != right]
            assert told[right] not in others
            assert len(set(others)) == len(others)
            assert {dimension for _, _, dimension in others} == {told[right][2]}


@pytest.mark.parametrize(
    ("right", "twin"),
    [
        (reading("a", "A", high="0.5"), reading("b", "mA", high="500")),
        (reading("a", "V", low="12.4"), reading("b", "V", low="12.40")),
        (reading("a", "mA", high="50"), reading("b", "mA", low="0", high="50.0")),
    ],
)
def test_a_limit_that_only_reads_otherwise_is_never_offered_as_wrong(
    right: dict[str, Any], twin: dict[str, Any]
) -> None:
    deck = deck_of([right, twin])
    card = next(card for card in deck.cards if card.name == "limits/limit/a")
    for seed in range(30):
        question = put_question(deck, card, seed)
        assert (
            len([o for o in question.options if meaning(o.words) == meaning(right_of(question))])
            == 1
        )


def right_of(question: Any) -> str:
    """Return the words of the right answer."""
    return judge(question, question.accepted[0]).words


def test_limits_of_other_steps_come_before_made_up_ones() -> None:
    deck = deck_of([reading("a", "V", low="12.4"), reading("b", "V", high="0.5")])
    card = deck.cards[0]
    drawn = [put_question(deck, card, seed).options for seed in range(20)]
    assert all("0.5 V or less" in [option.words for option in options] for options in drawn)


def test_a_limit_of_nothing_gives_no_question_where_nothing_else_is_known() -> None:
    deck = deck_of([reading("a", "V", low="0")])
    assert [card.kind for card in deck.cards] == []
    assert any(said.startswith("No question about limits") for said in deck.fewer)


WAITS = st.integers(1, 86_400 * 29)


@given(WAITS, st.integers(0, 99))
def test_a_wrong_wait_is_another_length_of_time(seconds: int, seed: int) -> None:
    wait = {"wait": "Let it cure.", "id": "cure", "lasts": f"{seconds} s", "source": "Invented."}
    if seconds > 999_999:
        wait["lasts"] = f"{seconds // 60} min"
    deck = deck_of([wait])
    cards = [card for card in deck.cards if card.kind == "limit"]
    if not cards:  # a second or two, of which nothing else is a whole number
        assert seconds <= 3
        return
    question = put_question(deck, cards[0], seed)
    told = [_registry_seconds(option.words) for option in question.options]
    assert len(set(told)) == len(told)
    assert 0 not in told
    assert _registry_seconds(right_of(question)) in (seconds, seconds // 60 * 60)


def _registry_seconds(words: str) -> Decimal:
    parts = re.findall(r"([0-9]+) (d|h|min|s)", words)
    found = sum(_registry().Quantity(Decimal(number), unit) for number, unit in parts)
    return round(Decimal(found.to("s").magnitude), 6)


def test_a_wrong_wait_is_a_round_one() -> None:
    wait = {"wait": "Let it cure.", "id": "cure", "lasts": "6 min", "source": "Invented."}
    deck = deck_of([wait])
    words = {o.words for seed in range(30) for o in put_question(deck, deck.cards[0], seed).options}
    assert words == {"6 min", "3 min", "5 min", "7 min", "9 min", "12 min"}


def test_each_torque_with_a_value_is_a_card_of_its_own() -> None:
    def torque(fastener: str, value: str | None, unit: str = "N m") -> dict[str, Any]:
        said = {"fastener": fastener, "into": "steel", "source": "Invented."}
        return (
            said if value is None else {**said, "value": value, "unit": unit, "plus-minus": "0.5"}
        )

    step = {
        "do": "Tighten all.",
        "id": "tight",
        "torque": [torque("M5 screw", "4.5"), torque("M6 nut", "8"), torque("Clip", None)],
    }
    other = {"do": "Tighten one.", "id": "one", "torque": [torque("M4 screw", "20", "lbf in")]}
    deck = deck_of([step, other])
    cards = {card.name: card for card in deck.cards if card.kind == "limit"}
    assert set(cards) == {
        "limits/limit/tight/m5-screw",
        "limits/limit/tight/m6-nut",
        "limits/limit/one/m4-screw",
    }
    question = put_question(deck, cards["limits/limit/tight/m5-screw"], 2)
    assert question.asks == "How tight is this fastener?"
    assert question.lead == ("M5 screw into steel", "“Tighten all”")
    assert right_of(question) == "4.5 ± 0.5 N m"
    assert "8 ± 0.5 N m" in {option.words for option in question.options}
    assert not any("lbf" in option.words for option in question.options)
    assert question.why == "From: Invented."
