"""The preview for one vehicle: what hangs on choices is there exactly as in a job that has them."""

from itertools import product

import pytest
from bay import SMALL, START, Bay, tick

from baycompanion.job.actions import Answer
from baycompanion.job.state.gates import gate_applies
from baycompanion.job.state.order import steps_that_apply
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.store.shelf import read_procedure, shipped
from baycompanion.views.procedure.preview import screens_of
from baycompanion.views.procedure.preview_choices import (
    OPEN,
    answered,
    choice_lines,
    settled,
    turned,
    vehicle_line,
)

LEADS_ON = """\
procedure: chained
title: One choice behind another
revision: 1
fits: Is there one?
hazards: none
tools: none
parts: none
choices:
  - { choice: camera, title: Camera }
  - { choice: guide, title: Guide lines, answers: [fixed, moving] }
phases:
  - phase: work
    title: Work
    target: 5 min
    steps:
      - choose: Is there a camera?
        id: ask-camera
        settles: camera
      - choose: How do its guide lines lie?
        id: ask-guide
        settles: guide
        when: { camera: yes }
      - do: Set the moving lines.
        id: set-lines
        when: { guide: moving }
"""
WAYS = list(product(["yes", "no"], ["none", "rear", "front"]))
EVERY = {("yes", "rear"), ("yes", "front")}
"""The vehicles on which every step of the small procedure applies."""
CHAINED = load_procedure(LEADS_ON, "chained.yaml").procedure


def names(procedure: Procedure, **wanted: str) -> list[str]:
    return [each.name for each in screens_of(procedure, START, settled(procedure, wanted))]


@pytest.mark.parametrize(("amplifier", "camera"), WAYS)
def test_steps_and_gates_are_those_of_a_job_with_these_choices(amplifier: str, camera: str) -> None:
    parts = ["receiver", "cap", *(["camera-adapter"] if camera != "none" else [])]
    job = Bay().walk(
        "odometer",
        parts=[*(tick("parts", part, "here") for part in parts), Answer(answer="parts")],
        ask_amplifier=[Answer(answer="ask-amplifier", value=amplifier)],
        ask_camera=[Answer(answer="ask-camera", value=camera)],
    )
    seen = names(SMALL, amplifier=amplifier, camera=camera)
    steps = [step.id for step in steps_that_apply(SMALL, job.state)]
    gates = {name for name, gate in SMALL.all_gates.items() if gate_applies(SMALL, job.state, gate)}
    assert [name.removeprefix("step ") for name in seen if name.startswith("step ")] == steps
    assert {name.removeprefix("gate ") for name in seen if name.startswith("gate ")} == gates
    assert (len(steps) < len(SMALL.steps)) is ((amplifier, camera) not in EVERY)


def test_a_list_has_the_lines_of_a_job_with_these_choices() -> None:
    procedure = read_procedure(shipped("procedures") / "receiver-swap.yaml").procedure
    lengths = []
    for answer in ("new", "none"):
        choices = settled(procedure, {"receiver-camera": answer})
        screens = screens_of(procedure, START, choices)
        lengths.append(sum(len(each.card.rows) for each in screens))
    assert lengths[0] > lengths[1]


def test_open_choices_leave_nothing_out() -> None:
    assert len([name for name in names(SMALL) if name.startswith("step ")]) == len(SMALL.steps)
    assert set(names(SMALL, camera="none")) < set(names(SMALL))


def test_a_choice_that_a_job_does_not_come_to_counts_for_nothing() -> None:
    assert "step set-lines" in names(CHAINED, camera="yes", guide="moving")
    without = names(CHAINED, camera="no", guide="fixed")
    assert "step ask-guide" not in without
    assert settled(CHAINED, {"camera": "no", "guide": "fixed"}) == {"camera": "no"}
    lines = choice_lines(CHAINED, {"camera": "no", "guide": "fixed"})
    assert lines == (
        "Camera: no",
        "Guide lines: fixed, but a job does not come to this choice",
    )


def test_turning_goes_through_every_answer_and_is_open_again() -> None:
    wanted = answered({}, SMALL.choices[0], "yes")
    seen = []
    for _ in range(4):
        wanted = turned(SMALL, wanted, 1)
        seen.append(choice_lines(SMALL, wanted)[1].removeprefix("Camera: "))
    assert seen == ["none", "rear", "front", OPEN]
    assert wanted == {"amplifier": "yes"}


def test_an_answer_that_the_file_no_longer_knows_is_kept_and_counts_for_nothing() -> None:
    wanted = {"amplifier": "perhaps", "gone": "yes"}
    assert settled(SMALL, wanted) == {}
    assert vehicle_line(SMALL, wanted) == ""
    assert turned(SMALL, wanted, 0) == {"gone": "yes"}
    assert vehicle_line(SMALL, {**wanted, "camera": "rear"}) == "Shown for: Camera: rear"
