"""A card's face changes with what the card shows, and with nothing else."""

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest
from any_procedures import procedures
from at_hand import FILES
from hypothesis import given, settings
from hypothesis import strategies as st
from yaml_text import as_yaml, from_yaml

from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.question import Question, judge, put_question
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.store.shelf import read_procedure

TEXTS = {path.stem: read_procedure(path).pinned_text for path in FILES}
Change = Callable[[dict[str, Any]], None]


def revised(text: str, change: Change) -> Procedure:
    """Return the procedure in `text` with something changed."""
    data = from_yaml(text)
    change(data)
    return load_procedure(as_yaml(data), "revised.yaml").procedure


@cache
def deck_of(name: str) -> Deck:
    """Return the deck of a procedure at hand, made once."""
    return make_deck(load_procedure(TEXTS[name], name).procedure)


def faces(deck: Deck) -> dict[str, str]:
    """Return the face of each card by its name."""
    return {card.name: card.face for card in deck.cards}


def touched(old: Deck, new: Deck) -> set[str]:
    """Return the names of the cards whose face is another, new ones and gone ones included."""
    was, now = faces(old), faces(new)
    return {name for name in was.keys() | now.keys() if was.get(name) != now.get(name)}


def shown(question: Question) -> str:
    """Return what a question shows besides its wrong answers."""
    named = {option.name: option.words for option in question.options}
    right = [named[name] for answer in question.accepted for name in answer]
    if question.card.kind in ("order", "misplaced"):
        right = list(named.values())
    return "\n".join((question.asks, *question.lead, *right))


def showing(deck: Deck, words: str) -> set[str]:
    """Return the names of the cards that show `words` with some seed, wrong answers apart."""
    return {
        card.name
        for card in deck.cards
        if any(words in shown(put_question(deck, card, seed)) for seed in range(4))
    }


def about(deck: Deck, step: str) -> set[str]:
    """Return the names of the cards that `step` has to do with, as the procedure has it."""
    gates = {
        gate.gate
        for gate in deck.procedure.gates
        if step in gate.holds or step in {step_named(leaf) for leaf in leaves(gate.until)}
    }
    found = {card.name for card in deck.cards if step == card.step or card.gate in gates}
    for card in deck.cards:
        if card.kind in ("next", "order", "misplaced"):
            question = put_question(deck, card, 0)
            named = [*question.accepted[0], *question.own_order]
            found |= {card.name} if step in named else set()
    return found


def steps_of(data: dict[str, Any]) -> list[dict[str, Any]]:
    return [step for phase in data["phases"] for step in phase["steps"]]


@pytest.mark.parametrize("name", TEXTS)
def test_a_revision_that_only_counts_on_brings_back_no_card(name: str) -> None:
    def count_on(data: dict[str, Any]) -> None:
        data["revision"] = int(data["revision"]) + 1
        data["title"] = "Another title"
        data.setdefault("changes", []).append("Nothing but this line.")

    old, new = deck_of(name), revised(TEXTS[name], count_on)
    assert new.revision == old.procedure.revision + 1
    assert touched(old, make_deck(new)) == set()


@settings(max_examples=8)
@given(st.sampled_from(list(TEXTS)), st.data())
def test_a_step_said_otherwise_changes_the_cards_that_show_it(
    name: str, data: st.DataObject
) -> None:
    old = deck_of(name)
    step = data.draw(st.sampled_from(list(old.procedure.steps.values())))
    new_text = "Do all of it in quite another way."

    def reword(raw: dict[str, Any]) -> None:
        for each in steps_of(raw):
            if each["id"] == step.id:
                each[step.verb] = new_text

    new = make_deck(revised(TEXTS[name], reword))
    changed = touched(old, new)
    assert faces(old).keys() == faces(new).keys()
    assert showing(new, new_text.rstrip(".")) <= changed <= about(new, step.id)


@given(procedures(), st.data())
def test_in_any_procedure_a_step_said_otherwise_changes_the_cards_that_show_it(
    procedure: Procedure, data: st.DataObject
) -> None:
    step = data.draw(st.sampled_from(list(procedure.steps.values())))
    new_text = "Do all of it in quite another way."
    phases = [
        phase.model_copy(
            update={
                "steps": tuple(
                    each.model_copy(update={each.verb: new_text}) if each is step else each
                    for each in phase.steps
                )
            }
        )
        for phase in procedure.phases
    ]
    fields = {name: getattr(procedure, name) for name in Procedure.model_fields}
    new = make_deck(Procedure(**{**fields, "phases": tuple(phases)}))
    changed = touched(make_deck(procedure), new)
    assert showing(new, new_text.rstrip(".")) <= changed <= about(new, step.id)


def change_of(step: str, **keys: Any) -> Change:
    """Return what changes some keys of a step."""

    def change(data: dict[str, Any]) -> None:
        (found,) = [each for each in steps_of(data) if each["id"] == step]
        found.update({key.replace("_", "-"): value for key, value in keys.items()})

    return change


def first_caution(step: str, **keys: str) -> Change:
    """Return what changes the first caution of a step."""

    def change(data: dict[str, Any]) -> None:
        (found,) = [each for each in steps_of(data) if each["id"] == step]
        found["cautions"][0].update(keys)

    return change


def gate_of(gate: str, change_gate: Change) -> Change:
    """Return what changes a gate."""

    def change(data: dict[str, Any]) -> None:
        (found,) = [each for each in data["gates"] if each["gate"] == gate]
        change_gate(found)

    return change


def tool_named(tool: str, name: str) -> Change:
    """Return what gives a tool another name."""

    def change(data: dict[str, Any]) -> None:
        (found,) = [each for each in data["tools"] if each["tool"] == tool]
        found["name"] = name

    return change


RECEIVER_CHANGES: list[tuple[Change, set[str]]] = [
    (change_of("power-gone", at_most="0.4"), {"limit/power-gone"}),
    (change_of("battery-rested", lasts="7 min"), {"limit/battery-rested"}),
    (first_caution("trim-off", avoid="Keep away."), {"caution/trim-off"}),
    (first_caution("trim-off", warning="Trim may bite."), {"caution/trim-off"}),
    (change_of("trim-off", tools=["hand-driver"]), {"tool/trim-off"}),
    (change_of("trim-off", why="Because."), set()),
    (change_of("trim-off", details=["Pull."]), set()),
    (change_of("trim-off", target="9 min"), set()),
    (gate_of("no-short", lambda gate: gate.update(because="B.")), set()),
    (gate_of("no-short", lambda gate: gate.update(override="supervisor")), set()),
    (
        gate_of("cap-right", lambda gate: gate["until"].append({"done": "leads-paired"})),
        {"gate/cap-right"},
    ),
    (
        gate_of("cap-right", lambda gate: gate.update(until=[{"recorded": "cap-most"}])),
        {"gate/cap-right", "order/bench-wiring", "misplaced/bench-wiring"},
    ),
    (tool_named("trim-tools", "Nylon wedges"), {"tool/trim-off", "gate/on-bench-for-teardown"}),
]


@pytest.mark.parametrize("number", range(len(RECEIVER_CHANGES)))
def test_a_change_brings_back_the_cards_it_is_about_and_no_other(number: int) -> None:
    change, expected = RECEIVER_CHANGES[number]
    old, new = deck_of("receiver-swap"), make_deck(revised(TEXTS["receiver-swap"], change))
    found = {name.removeprefix("receiver-swap/") for name in touched(old, new)}
    assert found == expected


def test_a_new_step_changes_what_comes_before_it_and_leaves_the_rest() -> None:
    text = TEXTS["second-person"]

    def add(data: dict[str, Any]) -> None:
        new = {"check": "The horn sounds.", "id": "horn", "why": "It is heard outside."}
        data["phases"][1]["steps"].insert(4, new)

    old, new = deck_of("second-person"), make_deck(revised(text, add))
    assert touched(old, new) <= {
        f"second-person/{kind}"
        for kind in ("next/starts", "next/horn", "order/hunt", "misplaced/hunt")
    }
    assert "second-person/next/starts" in touched(old, new)


def test_faces_do_not_change_from_one_run_to_another() -> None:
    deck = deck_of("second-person")
    (card,) = [card for card in deck.cards if card.kind == "limit"]
    assert card.name == "second-person/limit/draw"
    assert card.face == FACE
    question = put_question(deck, card, 1)
    assert judge(question, question.accepted[0]).words == "0 to 60 mA"


FACE = "7de643964977259dac18ad77eb16b03bb6df9f6f93dc2401d20305b69a4eced6"
"""As it was when learning was new: it stands in the files of shops, and may not drift."""
