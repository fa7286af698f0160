"""An invented procedure of any number of steps, and a job that follows it, to measure by."""

import sys
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from lamp import STAFF

from baycompanion.job.actions import Accept, Acknowledge, Action, Answer, TickLine
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.opening import KeysIn
from baycompanion.job.events.carried import Vehicle
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop, open_shop

START = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
T1 = Person("T1", "technician")

_HEAD = """\
procedure: long
title: Fit many lamps
revision: 1
fits: Is there room for them?
hazards: none
tools: none
parts: none
phases:
"""

_PHASE = """\
  - phase: fit-{number}
    title: Fit the lamps of row {number}
    target: 10 min
    steps:
"""

_STEPS = (
    """\
      - do: Clip lamp {number} in.
        id: step-{number}
        why: A lamp that hangs on its lead falls on whoever sits below it.
""",
    """\
      - check: Lamp {number} lights.
        id: step-{number}
""",
    """\
      - measure: Read the voltage at lamp {number}.
        id: step-{number}
        unit: V
        at-least: 11.5
        source: Invented.
""",
    """\
      - do: Route lead {number} behind the trim.
        id: step-{number}
        cautions:
          - warning: A lead over an edge chafes through.
            consequence: It shorts and burns.
            avoid: Lay it in the clips.
""",
    """\
      - do: See that every fastener of lamp {number} is in.
        id: step-{number}
        each:
          - {{ item: left, name: Left of the lamp }}
          - {{ item: right, name: Right of the lamp }}
""",
)


def procedure_text(steps: int, only: int | None = None) -> str:
    """Return a procedure of so many steps in phases of ten; `only` one kind of step."""
    parts = [_HEAD]
    for number in range(steps):
        if number % 10 == 0:
            parts.append(_PHASE.format(number=number // 10))
        kind = number % len(_STEPS) if only is None else only
        parts.append(_STEPS[kind].format(number=number))
    return "".join(parts)


def shop_for(folder: Path) -> Shop:
    """Make a shop in `folder` with the invented staff."""
    folder.mkdir(parents=True)
    (folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    return open_shop(folder)


def begin_job(shop: Shop, steps: int, only: int | None = None, when: datetime = START) -> Path:
    """Begin a job with so many steps, its hazards accepted `when`; return its folder."""
    loaded = load_procedure(procedure_text(steps, only), "long.yaml")
    keys = KeysIn("WO 1", Vehicle(description="white van"), T1, when)
    folder = make_job(shop.jobs, loaded, keys)
    job = OpenJob(folder, shop.lists, T1, when)
    job.act(Accept(accept="hazards"), T1, when)
    job.leave()
    return folder


def good_actions(number: int) -> list[Action]:
    """Return what finishes the step of this number well."""
    name, kind = f"step-{number}", number % len(_STEPS)
    if kind == 1:
        return [Answer(answer=name, outcome="passed")]
    if kind == 2:
        return [Answer(answer=name, value="12.60")]
    if kind == 3:
        return [Acknowledge(acknowledge=name), Answer(answer=name)]
    if kind == 4:
        sides = ("left", "right")
        lines = [TickLine(tick=name, item=side, outcome="done") for side in sides]
        return [*lines, Answer(answer=name)]
    return [Answer(answer=name)]
