"""What comes next after a step.

Right is what follows in the file. Wrong is only what may not come next: what is done by then, and
what something still open holds. A step that may follow as well is not offered.
"""

from collections.abc import Iterator

from baycompanion.learning.drill.asked import About, Option, Picked, Right, near_and_far, picked
from baycompanion.learning.drill.question_words import said, vehicle_lines, why_of
from baycompanion.learning.orders.holds import Holds
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
    number = procedure.number
    done = {name for name, place in number.items() if place <= number[step.id]}
    phases = [procedure.phase_of[each.id].phase for each in (step, then)]
    near, far = near_and_far(
        procedure, phases, step.id, lambda each: _may_not_come(holds, done, step, then, each)
    )
    return picked(
        About(procedure, "next", phases[0], step.id),
        "What comes next after this step?",
        (said(step.text), *vehicle_lines(procedure, (step.id, then.id))),
        [Right(Option(then.id, then.text), why_of(procedure, then))],
        [[Option(each.id, each.text) for each in some] for some in (near, far)],
    )


def _may_not_come(holds: Holds, done: set[str], step: Step, then: Step, other: Step) -> bool:
    """Return whether `other` may not be begun between `step` and `then`, on any such vehicle.

    What a bad answer leads back to may come next, too.
    """
    if other.id in (step.id, then.id, step.back_to):
        return False
    if not holds.together.ever((step.id, then.id, other.id)):
        return False
    return other.id in done or not holds.may_follow(done, other.id, (step.id, then.id))
