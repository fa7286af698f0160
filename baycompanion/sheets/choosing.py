"""A choice on paper: a box for each answer, and where each of them leads."""

from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.paths import step_applies
from baycompanion.procedure.steps import Choose
from baycompanion.sheets.form import Ask, Box, Source
from baycompanion.sheets.words import numbers, plain


def ask_choose(source: Source, step: Choose, last: Answered | None) -> Ask:
    """Return a box for each answer, with where the job goes on and what it leaves out."""
    [choice] = source.procedure.settled_by(step)
    nexts = {answer: _next(source, step, answer) for answer in choice.answers}
    parting = len(set(nexts.values())) > 1
    return Ask(
        boxes=tuple(
            Box(
                plain(answer),
                last is not None and last.words == answer,
                then="; ".join(
                    (
                        *((nexts[answer],) if parting else ()),
                        *left_out(source, choice.choice, answer),
                    )
                ),
            )
            for answer in choice.answers
        )
    )


def _next(source: Source, step: Choose, answer: str) -> str:
    """Return where the job goes on when `step` is answered so."""
    numbered = source.procedure.number
    settled = {**source.state.choices, step.settles[0]: answer}
    following = (
        number
        for name, number in numbered.items()
        if number > numbered[step.id] and step_applies(source.procedure, name, settled)
    )
    first = next(following, None)
    return f"go on with step {first}" if first is not None else "no step follows"


def left_out(source: Source, choice: str, answer: str) -> tuple[str, ...]:
    """Return which steps do not apply when `choice` has this answer."""
    out = [
        number
        for name, number in source.procedure.number.items()
        if not step_applies(source.procedure, name, {choice: answer})
    ]
    return (f"leave out {numbers(out)}",) if out else ()
