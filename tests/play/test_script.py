"""What a play script may say, and what is told of one that says something else."""

from datetime import date

import pytest
import yaml
from bay import GOOD
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from lamp import HEAD, SCRIPT
from yaml_text import as_yaml

from baycompanion.job.actions import ACTIONS, AddPhoto, PlanSplices
from baycompanion.play.schema import script_schema
from baycompanion.play.script import PACE, Move, TakePhoto, read_script
from baycompanion.store.shelf import shipped
from baycompanion.text.clean import clean
from baycompanion.text.problem import BadFile
from baycompanion.text.to_model import first_key


def read_actions(text: str) -> tuple[Move, ...]:
    return read_script(HEAD + text, "job.yaml").moves


def refusal(text: str) -> list[str]:
    with pytest.raises(BadFile) as bad:
        read_script(text, "job.yaml")
    return [str(problem) for problem in bad.value.problems]


def test_an_action_comes_with_its_time_its_person_and_its_place() -> None:
    [first, second] = read_actions(
        "  - { accept: hazards }\n  - { note: x, after: 3 min, by: S1 }\n"
    )
    assert (first.after, first.by, str(first.place)) == (30, None, "job.yaml:9:5")
    assert (second.after, second.by, str(second.place)) == (180, "S1", "job.yaml:10:5")


def test_a_script_without_a_pace_has_one() -> None:
    text = SCRIPT.replace("pace: 30 s\n", "").replace(", after: 10 s", "")
    assert {move.after for move in read_script(text, "x").moves} == {PACE, 60, 180}


def test_a_script_lasts_as_long_as_its_actions_together() -> None:
    assert read_script(SCRIPT, "x").lasts == 8 * 30 + 10 + 60 + 180


def test_every_action_may_stand_in_a_script_but_the_copied_photo() -> None:
    offered = refusal(HEAD + "  - { xyz: yes }\n")[0]
    for kind in set(ACTIONS) - {PlanSplices}:
        assert first_key(kind) in offered
    assert isinstance(read_actions("  - { photo: a.png }\n")[0].act, TakePhoto)
    assert "“sha256” is not known here" in refusal(HEAD + "  - { photo: a.png, sha256: 0 }\n")[0]


@pytest.mark.parametrize("step", GOOD)
def test_an_action_written_in_a_script_is_read_back_as_the_same_action(step: str) -> None:
    actions = [action for action in GOOD[step] if not isinstance(action, AddPhoto)]
    plain = [
        action.model_dump(mode="json", by_alias=True, exclude_defaults=True) for action in actions
    ]
    for written in plain:
        if "lasts" in written:
            written["lasts"] = f"{written['lasts']} s"
    text = as_yaml(plain)
    indented = "".join(f"  {line}\n" for line in text.splitlines())
    assert [move.act for move in read_actions(indented)] == actions


@given(words=st.text(min_size=1, max_size=200), seconds=st.integers(0, 5000))
def test_words_and_times_come_through_as_they_were_written(words: str, seconds: int) -> None:
    escaped = "".join(f"\\U{ord(sign):08x}" for sign in words)
    text = f'{HEAD}  - {{ note: "{escaped}", after: {seconds} s }}\n'
    expected = clean(words).strip()
    if not expected:
        assert refusal(text)
        return
    [move] = read_script(text, "job.yaml").moves
    assert (move.act.note, move.after) == (expected, seconds)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "{ answer: volts, value: 12.60 }",
            "{ anwser: volts, value: 12.60 }",
            "job.yaml:12:5: “anwser” begins no action. Did you mean answer?",
        ),
        (
            "{ answer: volts, value: 12.60 }",
            "{ answer: volts, vlaue: 12.60 }",
            "job.yaml:12:22: “vlaue” is not known here. Did you mean value?",
        ),
        (
            "after: 3 min",
            "after: 3 minutes",
            "job.yaml:15:31: “3 minutes” is no length of time. "
            "Write it like 20 min, 1 h 30 min or 90 s.",
        ),
        (
            "script: 1",
            "script: 2",
            "job.yaml:1:9: Scripts of format 2 are not known here. Write script: 1.",
        ),
        (
            "technician: T1\n",
            "",
            "job.yaml:1:1: “technician” is missing. Write technician: and its value.",
        ),
        (
            "start: 2026-03-02T08:30:00Z",
            "start: 2026-03-02 08:30",
            "job.yaml:6:8: “start” cannot be “2026-03-02 08:30”. "
            "Write a time with its zone, like 2026-11-25T08:30:00Z.",
        ),
        (
            "by: S1",
            "by: Sören",
            "job.yaml:17:49: “Sören” is no staff id. "
            "Write letters, digits and hyphens, 20 at most.",
        ),
        (
            "due: 2099-06-30",
            "due: 30.06.2099",
            "job.yaml:10:77: “due” cannot be “30.06.2099”. Write a date like 2026-11-25.",
        ),
    ],
)
def test_a_mistake_is_told_with_its_place_and_what_to_write(old: str, new: str, told: str) -> None:
    assert SCRIPT.count(old) == 1
    [problem] = refusal(SCRIPT.replace(old, new))
    assert problem == told


def test_all_mistakes_of_a_script_are_told_at_once() -> None:
    text = SCRIPT.replace("work-order", "work-odrer").replace("outcome: here", "outcome: there")
    told = refusal(text.replace("close: keys back", "close: keys"))
    assert len(told) == 4
    assert told == sorted(told, key=lambda line: int(line.split(":")[1]))


def test_a_script_without_actions_is_refused() -> None:
    text = HEAD.replace("actions:", "actions: []")
    assert refusal(text) == ["job.yaml:8:1: This list is empty. Write at least one item."]


def test_a_date_in_a_script_is_a_date() -> None:
    moves = read_script(SCRIPT, "x").moves
    assert moves[1].act.due == date(2099, 6, 30)


class _Plain(yaml.SafeLoader):
    """YAML as an editor reads it for JSON Schema: a timestamp stays text."""


_Plain.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in found if not tag.endswith("timestamp")]
    for first, found in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def errors_by_schema(text: str) -> list[str]:
    """Return what the independent validator says of a script."""
    validator = Draft202012Validator(script_schema())
    return [error.message for error in validator.iter_errors(yaml.load(text, _Plain))]


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(script_schema())


@pytest.mark.parametrize("path", sorted(shipped("demo").glob("*.yaml")), ids=lambda path: path.stem)
def test_the_schema_takes_every_script_of_the_demo(path) -> None:
    assert errors_by_schema(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("answer: volts", "anwser: volts"),
        ("after: 3 min", "after: soon"),
        ("technician: T1\n", ""),
        ("outcome: here", "outcome: there"),
        ("close: keys back", "close: keys"),
    ],
)
def test_the_schema_refuses_what_the_program_refuses(old: str, new: str) -> None:
    assert errors_by_schema(SCRIPT) == []
    text = SCRIPT.replace(old, new)
    assert errors_by_schema(text)
    assert refusal(text)
