"""A shop in which somebody is drilled, and what answers a question right or wrong."""

from itertools import permutations
from pathlib import Path

from baycompanion.learning.drill.question import Question, judge
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.pins import hash_pin

PIN = "2580"

STAFF = f"""\
staff:
  - {{ id: T3, role: trainee }}
  - {{ id: T4, role: trainee, pin: '{hash_pin(PIN)}' }}
  - {{ id: S1, role: supervisor }}
  - {{ id: T9, role: technician, active: no }}
"""

SHELF_LAMP = """\
procedure: shelf-lamp
title: Fit a shelf lamp
revision: 1
fits: Is there a shelf?
hazards: none
tools:
  - { tool: meter, name: Multimeter, by: fit }
parts: none
phases:
  - phase: look
    title: Look first
    target: 5 min
    steps:
      - do: Put the tools on the bench.
        id: staged
        each: tools
      - do: Empty the shelf.
        id: empty
        why: A lead behind a box is not seen.
      - do: Wipe the shelf.
        id: wipe
        why: Tape holds on clean paint alone.
      - do: Mark where the lamp goes.
        id: mark
        why: A lamp that sits crooked is seen for years.
      - do: Measure the lead.
        id: lead
        why: A lead that is too short is found too late.
  - phase: fit
    title: Fit the lamp
    target: 10 min
    steps:
      - do: Stick the lamp on.
        id: stick
        why: The mark is hidden by the lamp from now on.
      - do: Press it for a minute.
        id: press
        why: The tape needs it.
      - do: Clip the lead down.
        id: clip
        why: A loose lead is caught by a box.
      - do: Plug the lamp in.
        id: plug
        why: Before this nothing is under power.
      - check: The lamp lights.
        id: lights
        why: Now it is still easy to find out why not.
gates:
  - gate: lead-ready
    holds: fit
    until:
      - done: lead
    because: A lead that is too short means that the lamp comes off again.
    override: supervisor
"""


def make_drill_shop(folder: Path) -> Shop:
    """Make a shop in `folder` with one procedure of its own."""
    (folder / "procedures").mkdir(parents=True, exist_ok=True)
    (folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    write_lamp(folder, SHELF_LAMP)
    return open_shop(folder)


def write_lamp(shop: Path, text: str) -> None:
    (shop / "procedures" / "shelf-lamp.yaml").write_text(text, encoding="utf-8")


def answers(question: Question | None, right: bool) -> tuple[str, ...] | None:
    """Return names of options that answer `question` right, or wrong; None where none do."""
    assert question is not None
    names = [option.name for option in question.options]
    many = len(names) if question.card.kind == "order" else 1
    given = (each for each in permutations(names, many) if judge(question, each).right is right)
    return next(given, None)


def digits(question: Question | None, right: bool) -> list[str]:
    """Return the digits that answer `question` right, or wrong."""
    assert question is not None
    given = answers(question, right)
    assert given is not None
    names = [option.name for option in question.options]
    return [str(names.index(name) + 1) for name in given]
