"""Tools and parts, times and sources, and sums: each finding by one change to a procedure."""

from collections.abc import Callable

import pytest

Changed = Callable[[str, str], str]
Found = Callable[[str], list[tuple[str, str]]]
Case = tuple[str, str, str, str]
"""What stood there, what stands there now, the line found, and words of the sentence."""

BENCH: list[Case] = [
    ("        tools: [driver]\n", "", "- tool: driver", "warning: No step uses the tool “driver”"),
    (
        "name: Hand driver\n",
        "name: Hand driver\n    by: after\n",
        "tools: [driver]",
        "“driver” is used here and must be on the bench only for after. Write by: work",
    ),
    (
        "name: Multimeter\n    by: work",
        "name: Multimeter\n    by: after",
        "instrument: meter",
        "“meter” is used here and must be on the bench only for after",
    ),
    (
        "name: Multimeter\n    by: work",
        "name: Multimeter",
        "- tool: meter",
        "calibration of “meter” is overdue. Write by: work at the tool",
    ),
    (
        "    instrument: yes\n",
        "",
        "instrument: meter",
        "warning: Nobody is asked when the calibration of “meter” is due. Write instrument: yes",
    ),
    (
        "by: work\n    count",
        "by: before\n    count",
        "by: before",
        "No step ahead of before ticks off",
    ),
    (
        "on-bench: work",
        "on-bench: after",
        "- on-bench: after",
        "warning: The phase “after” needs no",
    ),
]

TIMES: list[Case] = [
    (
        "    target: 1 h 30 min\n",
        "",
        "- phase: work",
        "The phase “work” has no target. Write target:",
    ),
    ("1 h 30 min", "0 min", "target: 0 min", "The target is no time at all. Write a time like"),
    ("target: 5 min", "target: 0 s", "target: 0 s", "The target is no time at all. Write a time"),
    (
        "since: battery",
        "lasts: 0 min\n        source: x\n        since: battery",
        "lasts: 0 min",
        "The length of this wait is no time at all. Write a time like 3 min",
    ),
    ("shortest: 1 min", "shortest: 6 min", "shortest: 6 min", "longer than the target of 5 min"),
    (
        "1 h 30 min",
        "30 s",
        "target: 30 s",
        "warning: The steps of this phase take 1 min at the least",
    ),
]

SOURCES: list[Case] = [
    (
        "        instrument: meter\n",
        "        tools: [meter]\n",
        "- measure:",
        "what it is read from",
    ),
    ("since: battery", "lasts: 3 min\n        since: battery", "lasts:", "this wait has no source"),
    (
        "source: Common practice, no source.\n  - phase: after",
        "value: 2.5\n            unit: N m\n            source: x\n  - phase: after",
        "value: 2.5",
        "warning: A torque with a value is tightened here and its reading is not asked for",
    ),
]

TIGHT = """unit: N m
        at-least: 2
        at-most: 3
        torque:
          - {fastener: screw, into: steel, source: x, value: 2.5, unit: N m, plus-minus: 0.5}
        instrument: meter
"""
NUMBERS: list[Case] = [
    ("value: 2.5", "value: 5", "- {fastener", "5 N m lies outside the limits of this step"),
    ("value: 2.5", "value: 0", "- {fastener", "0 N m tightens nothing. Write a torque above 0"),
    ("plus-minus: 0.5", "plus-minus: -1", "- {fastener", "plus-minus: cannot be below 0"),
    ("value: 2.5, unit: N m, ", "", "- {fastener", "plus-minus: stands here without the torque"),
    (
        "unit: N m\n",
        "unit: N m\n        agree-within: -2\n",
        "agree-within: -2",
        "agree-within: cannot be below 0. Write how far it may lie apart",
    ),
]

UNITS: list[Case] = [
    (
        "takes: date\n",
        "takes: date\n        unit: km\n",
        "unit: km",
        "unit: needs a record of a number, and this one takes date. Write takes: number, or delete",
    ),
]

SUMS: list[Case] = [
    (
        "of: battery-rest",
        "of: batery-rest",
        "of: batery-rest",
        "no sum “batery-rest”. Did you mean",
    ),
    ("kind: flooded", "knd: agm\n          kind: agm", "knd: agm", "no input of battery-rest. Did"),
    ("kind: flooded", "kind: lithium", "kind: lithium", "Write flooded or agm"),
    ("          kind: flooded\n", "", "inputs:", "battery-rest needs kind"),
    ("temperature_c: 20", "temperature_c: 500", "temperature_c: 500", "a number from -30 to 60 in"),
    ("temperature_c: 20", "temperature_c: warm", "temperature_c: warm", "cannot be “warm”"),
    ("unit: V", "unit: A", "volts: {answer: volts}", "is taken in V, and “volts” is in A"),
    (
        "kind: flooded",
        "kind: {answer: ask-camera}",
        "kind: {answer: ask-camera}",
        "kind cannot be “yes”, an answer to “ask-camera”. Let each answer be flooded or agm",
    ),
]


BATTERY = """of: battery-rest
        inputs:
          volts: {answer: volts}
          kind: flooded
          temperature_c: 20
          hours_at_rest: 8
"""
WAYS: list[tuple[str, str]] = [
    ("awg: 18,18\n          cap_min_cmil: 1000", "splice: cap_max_cmil is missing. Type it too"),
    (
        "awg: 18,18\n          caps: grey 1500-6500\n          cap_min_cmil: 1000",
        "came together. Type one of the two",
    ),
]


@pytest.mark.parametrize(("inputs", "words"), WAYS)
def test_a_sum_that_is_given_too_few_or_too_many_ways_is_found(
    finds_one: Callable[..., None], inputs: str, words: str
) -> None:
    sum_ = f"of: splice\n        inputs:\n          {inputs}\n"
    finds_one(BATTERY, sum_, "inputs:", words)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("unit: V", "unit: mV"),  # the sum brings it to V
        (BATTERY, "of: splice\n        inputs:\n          awg: 18,18\n"),  # the shop has caps
    ],
)
def test_what_the_sum_or_the_shop_provides_need_not_be_written(
    changed: Callable[..., str], checked: Callable[[str], list[str]], old: str, new: str
) -> None:
    assert checked(changed(old, new)) == []


TRAY: list[Case] = [
    (
        "            group: Dash\n",
        "",
        "- item: m5",
        "warning: The line “m5” does not say which panel it comes off. Write group:",
    ),
    (
        "item: m5",
        "item: t5",
        "- item: t5",
        "“t5” is a name for lines that are added at the vehicle",
    ),
]


DIFFERENCES: list[Case] = [
    (
        "each: tools",
        "each: differences",
        "each: differences",
        "No condition sheet comes before this step, so nothing can be compared. Put an inspect:",
    ),
]

CASES = BENCH + TIMES + SOURCES + UNITS + SUMS + TRAY


@pytest.mark.parametrize(("old", "new", "line", "words"), CASES)
def test_what_is_lacking_or_contradicts_is_found_where_it_stands(
    finds_one: Callable[..., None], old: str, new: str, line: str, words: str
) -> None:
    finds_one(old, new, line, words)


@pytest.mark.parametrize(("old", "new", "line", "words"), NUMBERS)
def test_a_number_that_no_answer_can_have_is_found_where_it_stands(
    changed: Changed, checked: Found, old: str, new: str, line: str, words: str
) -> None:
    tightened = "\n      - measure: Tighten the screw.\n        id: tight\n        "
    good = changed("        target: 5 min\n", f"        target: 5 min{tightened}{TIGHT}")
    assert checked(good) == []
    ((at, said),) = checked(good.replace(old, new))
    assert at.startswith(line)
    assert words in said


@pytest.mark.parametrize(("old", "new", "line", "words"), DIFFERENCES)
def test_differences_are_asked_for_after_a_sheet(
    changed: Changed, checked: Found, old: str, new: str, line: str, words: str
) -> None:
    assert any(words in said for _, said in checked(changed(old, new)))


def test_the_time_a_phase_needs_counts_its_waits_and_leaves_out_what_may_not_apply(
    changed: Changed, checked: Found
) -> None:
    wait = "lasts: 100 min\n        source: The maker.\n"
    text = changed("        since: battery-off-now\n", f"        {wait}")
    assert "this phase take 1 h 41 min at the least" in str(checked(text))
    when = "id: reserve\n        unless: {camera: yes}\n"
    assert "at the least" not in str(checked(text.replace("id: reserve\n", when)))


def test_one_finding_stands_for_all_the_things_of_a_kind_that_nobody_ticks_off(
    changed: Changed, checked: Found
) -> None:
    text = changed("each: tools", "each: [{item: a, name: A}]")
    text = text.replace("      - on-bench: work\n", "").replace(
        "Hand driver\n", "Driver\n    by: work\n"
    )
    found = checked(text)
    assert [line for line, _ in found] == ["by: work"]
    assert "No step ahead of work ticks off the tools it needs" in found[0][1]


def test_things_ticked_off_only_on_some_answers_are_found_with_those_answers(
    changed: Changed, checked: Found
) -> None:
    staging = "      - do: Tick off the parts.\n        id: parts-out\n        each: parts\n"
    late = staging + "        when: {camera: yes}\n"
    text = changed(staging, "").replace(
        "      - inspect: Walk the condition sheet.\n",
        f"{late}      - inspect: Walk the condition sheet.\n",
    )
    assert [(line, "Where camera is no" in words) for line, words in checked(text)] == [
        ("by: work", True),
        ("- on-bench: work", True),
    ]


def test_a_tool_that_a_step_uses_is_asked_for_wherever_that_step_applies(
    changed: Changed, checked: Found
) -> None:
    staging = "      - do: Tick off the tools.\n        id: tools-out\n        each: tools\n"
    sheet = "      - inspect: Walk the condition sheet.\n"
    late = changed(staging, "").replace(sheet, f"{staging}{sheet}")
    text = late.replace("name: Hand driver\n", "name: Hand driver\n    when: {camera: yes}\n")
    ((line, said),) = checked(text)
    assert line == "tools: [driver]"
    assert "Where camera is no, “driver” does not apply and this step uses it" in said
    used = "        tools: [driver]\n"
    assert used in text
    on_some = text.replace(used, "").replace("        details:\n", f"{used}        details:\n")
    assert checked(on_some) == []


def test_everything_wrong_is_told_at_once_in_the_order_of_the_file(
    changed: Changed, checked: Found
) -> None:
    text = changed("    target: 1 h 30 min\n", "").replace("passed: kit-fits", "passed: kit-fit")
    text = text.replace("of: battery-rest", "of: battery").replace("tool: driver", "tool: drivr")
    assert [line for line, _ in checked(text)] == [
        "- tool: drivr",
        "- phase: work",
        "tools: [driver]",
        "of: battery",
        "- passed: kit-fit",
    ]
