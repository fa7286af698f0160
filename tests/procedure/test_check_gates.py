"""Gates that can never open: each by one change to a procedure whose gates all can."""

from collections.abc import Callable

import pytest

Changed = Callable[[str, str], str]
Found = Callable[[str], list[tuple[str, str]]]
Case = tuple[str, str, str, str]
"""What stood there, what stands there now, the line found, and words of the sentence."""

NEVER = "This gate can never open: it waits for"

SHUT: list[Case] = [
    ("holds: screws-out", "holds: work", "- over:", f"{NEVER} “reserve”, which it holds itself"),
    ("done: side-screws", "done: battery-on", "- done:", f"{NEVER} “battery-on”, which it holds"),
    (
        "done: side-screws",
        "done: sheet-after",
        "- done:",
        f"{NEVER} “sheet-after”, which comes after",
    ),
]


@pytest.mark.parametrize(("old", "new", "line", "words"), SHUT)
def test_a_condition_that_comes_too_late_is_found_where_it_stands(
    finds_one: Callable[..., None], old: str, new: str, line: str, words: str
) -> None:
    finds_one(old, new, line, words)


def test_a_gate_is_judged_by_the_first_step_it_holds(changed: Changed, checked: Found) -> None:
    found = checked(changed("holds: battery-on", "holds: [battery-on, kit-fits]"))
    assert [line for line, _ in found] == [
        "- matching: screws-back",
        "- witnessed: joins-seen",
        "- done: side-screws",
    ]
    assert all("which comes after what it holds" in words for _, words in found)


def test_one_condition_in_time_is_enough_where_any_will_do(
    changed: Changed, checked: Found
) -> None:
    """The other one is only told: whoever wrote it believes that it can open the gate, too."""
    found = checked(changed("good: charge", "good: charge\n          - done: battery-on"))
    assert found == [
        (
            "- done: battery-on",
            "whole.yaml:161:13: warning: This can never open its gate: it waits for “battery-on”, "
            "which comes after what it holds. Let it wait for an earlier step, or hold a later "
            "one.",
        )
    ]


def test_conditions_that_all_come_too_late_shut_an_any(changed: Changed, checked: Found) -> None:
    late = "done: sheet-after\n          - done: stations-back"
    text = changed("inside: volts\n          - good: charge", late)
    assert [line for line, _ in checked(text)] == ["- done: sheet-after", "- done: stations-back"]


def test_every_part_of_an_all_must_come_in_time(changed: Changed, checked: Found) -> None:
    found = checked(
        changed("witnessed: joins-seen", "passed: joins-seen\n          - done: sheet-after")
    )
    assert [line for line, _ in found] == ["- done: sheet-after"]


def test_a_gate_that_shuts_on_one_answer_alone_says_on_which(
    changed: Changed, checked: Found
) -> None:
    found = checked(changed("holds: screws-out", "holds: [screws-out, ask-feed]"))
    assert [line for line, _ in found] == ["- over: reserve", "- recorded: battery-date"]
    assert all("Where camera is yes, this gate can never open" in words for _, words in found)


def test_a_condition_on_a_step_that_does_not_apply_then_shuts_nothing(
    changed: Changed, checked: Found
) -> None:
    text = changed("done: side-screws", "done: side-screws\n      - done: late-camera")
    late = "id: sheet-after\n        compares: sheet-before\n        why: The difference decides.\n"
    camera = "      - do: Show the camera.\n        id: late-camera\n        when: {camera: yes}\n"
    assert text.count(late) == 1
    found = checked(text.replace(late, late + camera))
    assert [line for line, _ in found] == ["- done: late-camera"]
    assert "Where camera is yes, this gate can never open" in found[0][1]


def test_a_gate_that_does_not_apply_holds_nothing_up(changed: Changed, checked: Found) -> None:
    text = changed("gate: nothing-left", "gate: nothing-left\n    when: {camera: no}")
    late = "done: side-screws\n      - done: stations-back\n"
    found = checked(text.replace("done: side-screws\n", late))
    assert [line for line, _ in found] == ["- done: stations-back"]
    assert "Where camera is no, this gate can never open" in found[0][1]


def test_things_on_the_bench_must_be_ticked_off_before_what_waits_for_them(
    changed: Changed, checked: Found
) -> None:
    text = changed("holds: screws-out", "holds: parts-out").replace("      - over: reserve\n", "")
    found = checked(text.replace("      - recorded: battery-date\n", ""))
    assert [line for line, _ in found] == ["- on-bench: work"]
    assert "no step ticks off what it waits for" in found[0][1]


def test_a_fault_can_be_cleared_at_any_time(changed: Changed, checked: Found) -> None:
    assert (
        checked(changed("holds: battery-on", "holds: battery-on\n    unless: {camera: yes}")) == []
    )


def test_a_second_person_whom_no_gate_waits_for_is_an_error(
    finds_one: Callable[..., None],
) -> None:
    """R19: else the step would pass because nobody came."""
    finds_one(
        "          - witnessed: joins-seen\n",
        "",
        "- witness:",
        "Nothing holds the job when nobody comes to witness this. Write witnessed: joins-seen",
    )


def test_a_gate_that_lies_behind_a_witness_does_not_wait_for_it(
    changed: Changed, checked: Found
) -> None:
    """Any of its conditions opens it before anybody can come."""
    text = changed("          - witnessed: joins-seen\n", "")
    text = text.replace("good: charge", "good: charge\n          - witnessed: joins-seen")
    text = text.replace("holds: [camera-lead, joins-seen]", "holds: kit-fits")
    text = text.replace("      - passed: kit-fits\n", "")
    told, (line, said) = sorted(checked(text), key=lambda found: "warning" not in found[1])
    assert told[0] == "- witnessed: joins-seen"
    assert line.startswith("- witness:")
    assert said.endswith("Write witnessed: joins-seen at a gate that holds a later step.")
