"""The ways through a procedure, as its choices come out."""

from collections.abc import Callable

import pytest

from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.paths import Paths, applies, said, step_applies, with_phase
from baycompanion.procedure.steps import Applying


def asking(when: dict[str, str] | None = None, unless: dict[str, str] | None = None) -> Applying:
    return Applying.model_validate({"when": when or {}, "unless": unless or {}})


@pytest.mark.parametrize(
    ("thing", "answers", "belongs"),
    [
        (asking(), {}, True),
        (asking(when={"a": "yes"}), {"a": "yes"}, True),
        (asking(when={"a": "yes"}), {"a": "no"}, False),
        (asking(when={"a": "yes"}), {}, True),
        (asking(unless={"a": "yes"}), {"a": "yes"}, False),
        (asking(unless={"a": "yes"}), {}, True),
        (asking(when={"a": "yes", "b": "no"}), {"a": "yes", "b": "yes"}, False),
        (asking(when={"a": "yes"}, unless={"b": "no"}), {"a": "yes", "b": "no"}, False),
    ],
)
def test_a_thing_applies_unless_an_answer_excludes_it(
    thing: Applying, answers: dict[str, str], belongs: bool
) -> None:
    assert applies(thing, answers) is belongs


def test_every_way_is_walked_and_a_choice_nobody_settles_then_is_left_out(whole: str) -> None:
    procedure = load_procedure(whole, "whole.yaml").procedure
    ways = Paths.of(procedure).through(*with_phase(procedure, "camera-lead"))
    assert [dict(way) for way in ways] == [
        {"camera": "yes", "camera-feed": "analog"},
        {"camera": "yes", "camera-feed": "digital"},
        {"camera": "no"},
    ]
    assert [step_applies(procedure, "camera-lead", way) for way in ways] == [True, False, False]


def test_what_rests_on_no_choice_has_one_way(whole: str) -> None:
    procedure = load_procedure(whole, "whole.yaml").procedure
    assert Paths.of(procedure).through(*with_phase(procedure, "volts")) == ({},)


def test_nothing_is_told_of_things_that_rest_on_an_unknown_choice_or_answer(
    changed: Callable[[str, str], str],
) -> None:
    for unknown in ("{roof: digital}", "{camera-feed: both}"):
        procedure = load_procedure(changed("{camera-feed: digital}", unknown), "w.yaml").procedure
        assert Paths.of(procedure).through(*with_phase(procedure, "camera-lead")) == ()


def test_answers_are_said_as_in_a_sentence() -> None:
    assert said({"camera": "no", "amplifier": "yes"}) == "camera is no and amplifier is yes"
