"""References to the wrong step: each by one change to a procedure in which all are right."""

from collections.abc import Callable

import pytest

Case = tuple[str, str, str, str]
"""What stood there, what stands there now, the line found, and words of the sentence."""

WRONG_VERB: list[Case] = [
    ("passed: kit-fits", "passed: reserve", "- passed:", "passed: needs a check or a witness, and"),
    ("inside: volts", "inside: kit-fits", "- inside:", "inside: needs a measure with limits, and"),
    (
        "        at-least: 12.40\n        at-most: 12.90\n",
        "",
        "- inside: volts",
        "inside: needs a measure with limits, and “volts” is none. There is none in this file",
    ),
    (
        "recorded: battery-date",
        "recorded: ask-feed",
        "- recorded:",
        "recorded: needs a record, and",
    ),
    ("over: reserve", "over: battery-date", "- over: battery-date", "over: needs a wait, and"),
    ("matching: screws-back", "matching: screws-out", "- matching:", "held against an earlier one"),
    ("witnessed: joins-seen", "witnessed: kit-fits", "- witnessed:", "needs a witness, and"),
    ("good: charge", "good: volts", "- good: volts", "“volts” is none. Write one of: charge."),
    ("matches: screws-out", "matches: stations", "matches:", "matches: needs a count, and"),
    ("repeats: stations", "repeats: volts", "repeats: volts", "repeats: needs a record, and"),
    ("repeats: stations", "repeats: battery-date", "repeats:", "takes date and this record takes"),
    ("list\n        may", "list\n        private: yes\n        may", "repeats:", "keeps no words"),
    ("compares: sheet-before", "compares: screws-out", "compares:", "compares: needs an inspect"),
    (
        "answer: volts",
        "answer: stations",
        "volts:",
        "answer: needs a measure, a choose or a record",
    ),
    ("answer: volts", "answer: reserve", "volts:", "answer: needs a measure, a choose or a record"),
]

TOO_LATE: list[Case] = [
    (
        "matches: screws-out",
        "matches: screws-back",
        "matches:",
        "“screws-back” is this step itself",
    ),
    ("of: battery-off-now", "of: side-screws", "of: side-screws", "“side-screws” comes later than"),
    (
        "since: battery-off-now",
        "since: volts",
        "since: volts",
        "“volts” comes later than this step",
    ),
    ("back-to: side-screws", "back-to: battery-on", "back-to:", "“battery-on” comes later than"),
    ("ends: battery-on", "ends: stations", "ends: stations", "not come after “battery-off-now”"),
    ("begins: battery-off-now", "begins: battery-on", "ends:", "“battery-on” does not come after"),
]

ABSENT: list[Case] = [
    (
        "id: stations\n",
        "id: stations\n        when: {camera: yes}\n",
        "repeats: stations",
        "Where camera is no, “stations” does not apply and this step does",
    ),
    (
        "id: screws-out\n",
        "id: screws-out\n        unless: {camera: yes}\n",
        "matches: screws-out",
        "Where camera is yes, “screws-out” does not apply and this step does",
    ),
    (
        "back-to: side-screws",
        "back-to: camera-lead",
        "back-to: camera-lead",
        "Where camera is yes and camera-feed is digital, “camera-lead” does not apply",
    ),
    (
        "id: battery-on\n",
        "id: battery-on\n        unless: {camera: yes}\n",
        "ends: battery-on",
        "Where camera is yes, this begins and never ends",
    ),
]


@pytest.mark.parametrize(("old", "new", "line", "words"), WRONG_VERB + TOO_LATE + ABSENT)
def test_a_reference_to_the_wrong_step_is_found_where_it_stands(
    finds_one: Callable[..., None], old: str, new: str, line: str, words: str
) -> None:
    finds_one(old, new, line, words)


def test_a_step_may_rest_on_one_that_applies_under_the_same_choices(
    changed: Callable[[str, str], str], checked: Callable[[str], list[tuple[str, str]]]
) -> None:
    text = changed("id: stations\n", "id: stations\n        when: {camera: yes}\n")
    text = text.replace("id: stations-back\n", "id: stations-back\n        when: {camera: yes}\n")
    assert checked(text) == []


KEPT = """\
procedure: kept
title: T
revision: 1
fits: F?
hazards: none
tools: none
parts:
  - {part: lamp, name: Lamp}
phases:
  - phase: only
    title: Only
    target: 10 min
    steps:
      - record: Write it down.
        id: written
        EXTRA
"""


@pytest.mark.parametrize(
    ("extra", "line", "words"),
    [
        ("serial-of: lampp", "serial-of: lampp", "“lampp” is the name of no part here. Did you"),
        ("serial-of: lamp\n        takes: list", "serial-of: lamp", "this one takes a list"),
        ("serial-of: lamp\n        private: yes", "serial-of: lamp", "keeps no words"),
        ("owner-word: agreed\n        private: yes", "owner-word: agreed", "keeps no words"),
        ("owner-word: agreed\n        takes: date", "owner-word: agreed", "this one takes a date"),
    ],
)
def test_what_stands_by_itself_in_the_record_needs_words(
    checked: Callable[[str], list[tuple[str, str]]], extra: str, line: str, words: str
) -> None:
    [(found, said)] = checked(KEPT.replace("EXTRA", extra))
    assert found == line
    assert words in said


def test_a_serial_number_of_a_part_that_is_listed_is_no_problem(
    checked: Callable[[str], list[tuple[str, str]]],
) -> None:
    assert checked(KEPT.replace("EXTRA", "serial-of: lamp")) == []
