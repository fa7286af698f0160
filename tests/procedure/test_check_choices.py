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
    (
        "name: Hand driver\n",
        "name: Hand driver\n    unless: {camra: no}\n",
        "unless: {camra: no}",
        "“camra” is the name of no choice here. Did you mean camera?",
    ),
    (
        "name: Dash kit\n",
        "name: Dash kit\n    when: {camera: yes}\n",
        "when: {camera: yes}",
        "“camera” decides over this part and is settled only in ask-camera",
    ),
]


@pytest.mark.parametrize(("old", "new", "line", "words"), CASES)
def test_a_choice_that_cannot_work_is_found_where_it_stands(
    finds_one: Callable[..., None], old: str, new: str, line: str, words: str
) -> None:
    finds_one(old, new, line, words)


def test_a_choice_of_one_answer_is_told(changed: Changed, checked: Found) -> None:
    text = changed(LEAD, "when: {camera: yes, camera-feed: analog}\n")
    ((line, said),) = checked(text.replace("answers: [analog, digital]", "answers: [analog]"))
    assert line == "answers: [analog]"
    assert said.endswith(
        "warning: The choice “camera-feed” has one answer, so nothing is chosen. "
        "Write the other answers, or take the choice out."
    )


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


TOGETHER = """\
procedure: together
title: T
revision: 1
fits: F?
hazards: none
choices:
  - {choice: roof, title: Roof}
  - {choice: doors, title: Doors, answers: ANSWERS}
tools: none
parts: none
phases:
  - phase: only
    title: Only
    target: 10 min
    steps:
      - choose: What is there?
        id: ask
        settles: [roof, doors]
      - {do: A., id: a, when: {roof: yes}}
      - {do: B., id: b, unless: {doors: no}}
"""


def test_choices_settled_together_take_the_same_answers(checked: Found) -> None:
    assert checked(TOGETHER.replace("ANSWERS", "[yes, no]")) == []
    [(line, said)] = checked(TOGETHER.replace("ANSWERS", "[no, two, four]"))
    assert line == "settles: [roof, doors]"
    assert "“doors” takes other answers than “roof”" in said


def test_a_choice_used_before_the_step_that_settles_several_is_found(checked: Found) -> None:
    text = TOGETHER.replace("ANSWERS", "[yes, no]")
    early = "      - {do: C., id: c, when: {doors: yes}}\n      - choose:"
    [(line, said)] = checked(text.replace("      - choose:", early))
    assert line == "- {do: C., id: c, when: {doors: yes}}"
    assert "“doors” decides over this step and is settled only in ask" in said


def test_a_name_of_several_that_is_no_choice_is_found_at_its_place(checked: Found) -> None:
    text = TOGETHER.replace("ANSWERS", "[yes, no]").replace("[roof, doors]", "[roof, doors, roofs]")
    [(line, said)] = checked(text)
    assert line == "settles: [roof, doors, roofs]"
    assert "“roofs” is the name of no choice here. Did you mean roof?" in said


def _with_a_part(text: str, applying: str) -> str:
    """Return `text` with a part that is ticked off after its choices, and applies by `applying`."""
    late = "      - do: Tick off the parts.\n        id: parts-out\n        each: parts\n"
    asked = "        settles: camera-feed\n        when: {camera: yes}\n"
    text = text.replace(late, "").replace(asked, f"{asked}{late}")
    return text.replace("name: Dash kit\n", f"name: Dash kit\n    {applying}\n")


def test_a_choice_may_decide_over_a_part_alone(changed: Changed, checked: Found) -> None:
    text = changed("        unless: {camera-feed: digital}\n", "")
    part = "when: {camera: yes}\n    unless: {camera-feed: digital}"
    assert checked(_with_a_part(text, part)) == []


@pytest.mark.parametrize(
    ("applying", "words"),
    [
        ("when: {camera: true}", "“true” is no answer to “camera”. Write one of: yes, no."),
        ("when: {camera: no}\n    unless: {camera: no}", "No path reaches this part"),
        ("when: {camera-feed: analog}", "Where camera is no, nobody settles “camera-feed”"),
    ],
)
def test_a_part_that_cannot_apply_as_it_says_is_found(
    whole: str, checked: Found, applying: str, words: str
) -> None:
    found = checked(_with_a_part(whole, applying))
    assert [words in said for _, said in found] == [True], found
