"""Which caution stands before a step: one of its own among those that stand elsewhere."""

from collections.abc import Iterable, Iterator

from baycompanion.learning.drill.asked import About, Option, Picked, Right, picked
from baycompanion.learning.drill.question_words import alike, said, sentences, vehicle_lines
from baycompanion.learning.orders.holds import Holds
from baycompanion.procedure.cautions import AnyCaution
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step


def about_cautions(holds: Holds) -> Iterator[Picked]:
    """Yield a question for each step that a caution stands before."""
    for step in holds.procedure.steps.values():
        question = _question(holds.procedure, step) if step.cautions else None
        if question is not None:
            yield question


def _question(procedure: Procedure, step: Step) -> Picked | None:
    phase = procedure.phase_of[step.id]
    own = {alike(caution.hazard) for caution in step.cautions}
    near = [(each.id, each.cautions) for each in phase.steps if each.id != step.id]
    far = [
        (each.id, each.cautions)
        for each in procedure.steps.values()
        if procedure.phase_of[each.id] is not phase
    ]
    rights = [
        Right(_option(step.id, number, caution), sentences(caution.consequence, caution.avoid))
        for number, caution in enumerate(step.cautions, start=1)
    ]
    return picked(
        About(procedure, "caution", phase.phase, step.id),
        "Which caution stands before this step?",
        (said(step.text), *vehicle_lines(procedure, (step.id,))),
        rights,
        [
            tuple(_others(near, own)),
            tuple(_others([*far, ("hazards", procedure.hazards)], own)),
        ],
        [right.why for right in rights],
    )


def _others(
    places: Iterable[tuple[str, tuple[AnyCaution, ...]]], known: set[str]
) -> Iterator[Option]:
    """Yield each caution whose hazard is not known yet; the same one may stand at many steps."""
    for name, cautions in places:
        for number, caution in enumerate(cautions, start=1):
            if alike(caution.hazard) not in known:
                known.add(alike(caution.hazard))
                yield _option(name, number, caution)


def _option(name: str, number: int, caution: AnyCaution) -> Option:
    return Option(f"{name}.{number}", f"{caution.signal.capitalize()}: {caution.hazard}")
