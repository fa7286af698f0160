"""What a step says can be found wrong at it: each finding by one change to a procedure."""

from collections.abc import Callable

import pytest

from baycompanion.procedure.load import load_procedure
from baycompanion.text.problem import BadFile

Found = Callable[[str], list[tuple[str, str]]]

TEXT = """\
procedure: faulty
title: Find what is wrong
revision: 1
fits: Is there a lamp?
hazards: none
tools:
  - { tool: meter, name: Multimeter, by: work, instrument: yes }
parts: none
phases:
  - phase: in
    title: Take it in
    target: 5 min
    steps:
      - do: Put the tools on the bench.
        id: tools
        each: tools
      - inspect: Try every function.
        id: before
        of:
          - { item: horn, name: Horn }
        faults:
          - fault: dead-horn
            name: A dead horn
            seen: It stays silent.
            line: horn
            cause: vehicle
      - count: Count the screws out.
        id: out
        of:
          - { item: screw, name: Screws, group: Dash }
  - phase: work
    title: Work
    target: 5 min
    steps:
      - measure: Read the voltage.
        id: volts
        unit: V
        at-least: 11.5
        instrument: meter
        source: Invented.
        faults:
          - { fault: no-feed, name: A dead feed, reading: 0.2 }
      - measure: Read the draw.
        id: draw
        unit: mA
        instrument: meter
        faults:
          - { fault: drain, name: A drain, reading: 200 }
      - sum: Work out the days.
        id: days
        of: key-off
        inputs: { draw_ma: { answer: draw }, battery_ah: "60" }
        why: The owner asks for it.
      - check: The lamp lights.
        id: lights
        why: It is why we are here.
        faults:
          - { fault: no-feed, name: A dead feed, seen: It stays dark. }
      - count: Count the screws back.
        id: back
        matches: out
        why: One left over rattles.
        faults:
          - { fault: screw-left, name: A screw left out, line: screw }
      - inspect: Try every function again.
        id: after
        compares: before
        faults:
          - { fault: horn-unplugged, name: A horn left unplugged, line: horn }
"""

BAD: list[tuple[str, str, str, str]] = [
    # what stood there, what stands there now, the line found, and words of the sentence
    (
        "- { fault: drain, name: A drain, reading: 200 }",
        "- { fault: drain, name: A drain, reading: 200 }\n"
        "          - { fault: drain, name: A drain, reading: 300 }",
        "reading: 300",
        "“drain” stands twice at this step",
    ),
    (
        "        each: tools\n",
        "        each: tools\n        faults: [{ fault: f, name: n }]\n",
        "faults: [{ fault: f",
        "A step to do finds nothing wrong. Write faults: at a check, a measure",
    ),
    ("reading: 0.2", "reading: 12.0", "reading: 12.0", "12.0 V lies inside the limits"),
    (
        "A dead feed, reading: 0.2",
        "A dead feed",
        "fault: no-feed, name: A dead feed }",
        "A fault at a measure needs its reading",
    ),
    (
        "draw_ma: { answer: draw }",
        'draw_ma: "30"',
        "fault: drain",
        "no limits and no sum takes it, so no reading of it is wrong",
    ),
    (
        "seen: It stays dark.",
        "reading: 3",
        "reading: 3",
        "A step to check takes no reading. Delete reading: here",
    ),
    ("seen: It stays dark.", "line: horn", "line: horn", "A step to check has no lines"),
    (
        "A screw left out, line: screw",
        "A screw left out",
        "fault: screw-left",
        "A fault at a list needs the line that it shows on",
    ),
    (
        "A screw left out, line: screw",
        "A screw left out, line: screws",
        "line: screws",
        "This list has no line “screws”. ",
    ),
    (
        "            cause: vehicle\n",
        "",
        "- fault: dead-horn",
        "A fault of the work cannot show before the work",
    ),
    (
        "left unplugged, line: horn",
        "left unplugged, line: horn, cause: vehicle",
        "horn-unplugged",
        "shows on the sheet after the work by itself",
    ),
    (
        "group: Dash }\n",
        "group: Dash }\n        faults: [{ fault: s, name: n, line: screw }]\n",
        "faults: [{ fault: s",
        "Write it at the count back",
    ),
    (
        "no-feed, name: A dead feed, seen",
        "no-feed, name: No feed, seen",
        "name: No feed",
        "“no-feed” has another name in",
    ),
    (
        "seen: It stays dark. }",
        "seen: It stays dark., cause: vehicle }",
        "cause: vehicle }",
        "“no-feed” has another cause in",
    ),
]


def test_every_way_to_write_one_is_welcome(checked: Found) -> None:
    assert checked(TEXT) == []


@pytest.mark.parametrize(("old", "new", "line", "said"), BAD)
def test_what_no_practice_could_plant_is_named_with_its_line(
    checked: Found, old: str, new: str, line: str, said: str
) -> None:
    assert TEXT.count(old) == 1, old
    found = checked(TEXT.replace(old, new))
    assert any(line in where and said in sentence for where, sentence in found), found


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("fault: screw-left, name", "fault: screw-left, nome", "nome"),
        ("cause: vehicle\n", "cause: weather\n", "weather"),
        ("reading: 0.2", "reading: little", "“little” is no number"),
        ("fault: dead-horn", "fault: Dead Horn", "Dead Horn"),
    ],
)
def test_what_cannot_be_read_is_named_with_its_line(old: str, new: str, said: str) -> None:
    line = TEXT[: TEXT.index(old)].count("\n") + 1
    with pytest.raises(BadFile) as bad:
        load_procedure(TEXT.replace(old, new), "p.yaml")
    assert any(f"p.yaml:{line}:" in str(each) and said in str(each) for each in bad.value.problems)
