"""What comes next after a step.

Right is what follows in the file. Wrong is only what may not come next: what is done by then, and
what something still open holds. A step that may follow as well is not offered.
"""

from collections.abc import Iterator

from baycompanion.learning.asked import (
    About,
    Option,
    Picked,
    Right,
    picked,
    said,
    vehicle_lines,
    why_of,
)
from baycompanion.learning.holds import Holds
from baycompanion.procedure.steps import Step


def about_next(holds: Holds) -> Iterator[Picked]:
    """Yield a question for each step that another follows which says why it stands there."""
    steps = list(holds.procedure.steps.values())
    for place, step in enumerate(steps):
        then = next((s for s in steps[place + 1 :] if holds.together.ever((step.id, s.id))), None)
        if then is None or not why_of(holds.procedure, then):
            continue
        question = _question(holds, step, then)
        if question is not None:
            yield question


def _question(holds: Holds, step: Step, then: Step) -> Picked | None:
    procedure = holds.procedure
    phases = (procedure.phase_of[step.id], procedure.phase_of[then.id])
    wrong = [each for each in procedure.steps.values() if _may_not_come(holds, step, then, each)]
    near = [each for each in wrong if procedure.phase_of[each.id] in phases]
    return picked(
        About(procedure, "next", phases[0].phase, step.id),
        "What comes next after this step?",
        (said(step.text), *vehicle_lines(procedure, (step.id, then.id))),
        [Right(Option(then.id, then.text), why_of(procedure, then))],
        [_offered(near), _offered([each for each in wrong if each not in near])],
    )


def _may_not_come(holds: Holds, step: Step, then: Step, other: Step) -> bool:
    """Return whether `other` may not be begun between `step` and `then`, on any such vehicle.

    What a bad answer leads back to may come next, too.
    """
    number = holds.procedure.number
    if other.id in (step.id, then.id, step.back_to):
        return False
    if not holds.together.ever((step.id, then.id, other.id)):
        return False
    if number[other.id] < number[step.id]:
        return True
    done = {name for name, place in number.items() if place <= number[step.id]}
    return not holds.may_follow(done, other.id, (step.id, then.id))


def _offered(steps: list[Step]) -> list[Option]:
    return [Option(step.id, step.text) for step in steps]
