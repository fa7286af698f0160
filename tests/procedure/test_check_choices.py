"""Choices that cannot work, and what no path reaches: each by one change to a procedure."""

from collections.abc import Callable

import pytest

Changed = Callable[[str, str], str]
Found = Callable[[str], list[tuple[str, str]]]
Case = tuple[str, str, str, str]
"""What stood there, what stands there now, the line found, and words of the sentence."""

LEAD = "when: {camera: yes}\n        unless: {camera-feed: digital}\n"

CASES: list[Case] = [
    ("choices:\n", "choices:\n  - {choice: roof, title: x}\n", "- {choice: roof", "Nobody makes"),
    (
        "        unless: {camera-feed: digital}\n",
        "",
        "- choice: camera-feed",
        "warning: The choice “camera-feed” switches nothing on or off",
    ),
    (
        "      - inspect: Walk the condition sheet.\n",
        "      - {choose: Again?, id: again, settles: camera}\n"
        "      - inspect: Walk the condition sheet.\n",
        "- {choose: Again?",
        "“camera” is already settled in whole.yaml:51",
    ),
    (
        "      - do: Tick off the tools.\n",
        "      - {do: x, id: early, unless: {camera: no}}\n      - do: Tick off the tools.\n",
        "- {do: x",
        "“camera” decides over this step and is settled only in ask-camera",
    ),
    (
        "phases:\n",
        "phases:\n  - {phase: early, title: x, target: 5 min, when: {camera: yes}, steps: "
        "[{do: x, id: first}]}\n",
        "- {phase: early",
        "“camera” decides over this phase and is settled only in ask-camera",
    ),
    (
        LEAD,
        "unless: {camera-feed: digital}\n",
        "unless: {camera-feed: digital}",
        "Where camera is no, nobody settles “camera-feed”",
    ),
    (
        LEAD,
        "when: {camera: yes}\n        unless: {camera-feed: [analog, digital]}\n",
        "- do: Join the camera lead.",
        "No path reaches this step",
    ),
    (
        LEAD,
        "when: {camera: no}\n        unless: {camera: no, camera-feed: digital}\n",
        "- do: Join the camera lead.",
        "No path reaches this step",
    ),
    (
        "name: Lamps\n",
        "name: Lamps\n            when: {camera: no}\n            unless: {camera: no}\n",
        "- item: lamps",
        "No path reaches this line",
    ),
    (
        "name: Lamps\n",
        "name: Lamps\n            when: {camera-feed: analog}\n",
        "when: {camera-feed: analog}",
        "Where camera is no, nobody settles “camera-feed”",
    ),
    (
        "gate: nothing-left\n",
        "gate: nothing-left\n    when: {camera: no}\n    unless: {camera: no}\n",
        "- gate: nothing-left",
        "No path reaches this gate",
    ),
]


@pytest.mark.parametrize(("old", "new", "line", "words"), CASES)
def test_a_choice_that_cannot_work_is_found_where_it_stands(
    finds_one: Callable[..., None], old: str, new: str, line: str, words: str
) -> None:
    finds_one(old, new, line, words)


def test_a_phase_that_no_path_reaches_is_told_once_and_not_for_each_of_its_steps(
    changed: Changed, checked: Found
) -> None:
    text = changed(
        "phase: after\n", "phase: after\n    when: {camera: no}\n    unless: {camera: no}\n"
    )
    found = checked(text)
    assert [line for line, words in found if "No path reaches" in words] == ["- phase: after"]


def test_a_step_whose_answers_contradict_those_of_its_phase_is_not_reached(
    changed: Changed, checked: Found
) -> None:
    text = changed("phase: work\n", "phase: work\n    when: {camera: no}\n")
    assert "- do: Join the camera lead." in [
        line for line, words in checked(text) if "No path reaches this step" in words
    ]


def test_two_steps_may_settle_a_choice_on_paths_that_never_meet(
    changed: Changed, checked: Found
) -> None:
    second = "      - choose: Which feed has the maker's?\n        id: ask-maker\n"
    second += "        settles: camera-feed\n        when: {camera: no}\n"
    text = changed(
        "      - inspect: Walk the condition sheet.\n",
        second + "      - inspect: Walk the condition sheet.\n",
    )
    assert checked(text) == []


def test_a_choice_behind_a_choice_is_followed_to_its_answers(
    changed: Changed, checked: Found
) -> None:
    text = changed(LEAD, "when: {camera-feed: analog}\n        unless: {camera: yes}\n")
    assert "No path reaches this step" not in str(checked(text))
    text = changed(LEAD, "when: {camera: yes, camera-feed: analog}\n        unless: {camera: no}\n")
    assert checked(text) == []


def test_more_ways_than_can_be_walked_are_not_judged(whole: str, checked: Found) -> None:
    names = [f"c{number}" for number in range(13)]
    choices = "".join(f"  - {{choice: {name}, title: x}}\n" for name in names)
    asked = "".join(f"      - {{choose: x, id: ask-{n}, settles: {n}}}\n" for n in names)
    wanted = ", ".join(f"{name}: yes" for name in names)
    step = f"      - {{do: x, id: all, when: {{{wanted}}}, unless: {{c0: yes}}}}\n"
    text = whole.replace("choices:\n", f"choices:\n{choices}")
    text = text.replace("  - phase: work\n", f"{asked}{step}  - phase: work\n")
    assert checked(text) == []
    fewer = text.replace(", c12: yes}, unless", "}, unless").replace(", c12: yes", "")
    assert "No path reaches this step" in str(checked(fewer))
