"""Conditions of a gate: each begun by its word, nesting as deep as one likes."""

import pytest

from baycompanion.procedure.conditions import KINDS, Condition, leaves, step_named
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Gate
from baycompanion.text.problem import BadFile
from baycompanion.text.to_model import first_key, to_model
from baycompanion.text.yaml_nodes import read_yaml


def gate(*until: str) -> tuple[Condition, ...]:
    lines = "".join(f"  - {condition}\n" for condition in until)
    text = f"gate: g\nholds: s\nbecause: x\noverride: nobody\nuntil:\n{lines}"
    return to_model(Gate, read_yaml(text, "g.yaml")).until


@pytest.mark.parametrize(
    ("written", "step"),
    [
        ("done: a", "a"),
        ("passed: a", "a"),
        ("inside: a", "a"),
        ("recorded: a", "a"),
        ("over: a", "a"),
        ("matching: a", "a"),
        ("witnessed: a", "a"),
        ("good: a", "a"),
        ("no-open-fault: work", None),
        ("on-bench: a", None),
        ("{any: [{done: a}]}", None),
    ],
)
def test_each_condition_names_the_step_it_rests_on(written: str, step: str | None) -> None:
    assert step_named(gate(written)[0]) == step


def test_every_word_that_begins_a_condition_is_known_once() -> None:
    words = [first_key(kind) for kind in KINDS]
    assert len(set(words)) == len(words) == 12


def test_the_leaves_of_nested_conditions_come_in_the_order_of_the_file() -> None:
    until = gate("done: a", "all: [{any: [{passed: b}, {over: c}]}, {good: d}]", "inside: e")
    assert [step_named(leaf) for leaf in leaves(until)] == ["a", "b", "c", "d", "e"]


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("don: a", "“don” begins no condition. Did you mean done?"),
        ("any: []", "This list is empty. Write at least one item."),
        ("all: []", "This list is empty. Write at least one item."),
        (
            "no-open-fault: mine",
            "“no-open-fault” cannot be “mine”. Write one of: work, other, any.",
        ),
        ("all: [{any: [{passd: a}]}]", "“passd” begins no condition. Did you mean passed?"),
        ("{done: a, passed: b}", "“passed” does not belong here."),
    ],
)
def test_a_condition_that_cannot_be_meant_is_refused(written: str, told: str) -> None:
    with pytest.raises(BadFile) as caught:
        gate(written)
    assert len(caught.value.problems) == 1
    assert told in str(caught.value)


def test_one_name_may_stand_where_a_list_may(whole: str) -> None:
    procedure = load_procedure(whole, "whole.yaml").procedure
    assert [gate.holds for gate in procedure.gates][1:] == [("screws-out",), ("battery-on",)]
