"""The choices of a procedure in its preview: which vehicle the screens are shown for.

What is asked for is kept by name, so that it outlives a file that is saved with errors or without
the choice. What counts of it is what a job could come to: a choice whose step does not apply is
never settled there, whatever was asked for.
"""

from collections.abc import Mapping

from baycompanion.procedure.model import Choice, Procedure
from baycompanion.procedure.paths import Answers, step_applies
from baycompanion.procedure.steps import Choose

Wanted = Mapping[str, str]
"""The answer asked for, by the name of its choice."""

OPEN = "open"
"""Said of a choice that is not answered: all that hangs on it is shown."""


def settled(procedure: Procedure, wanted: Wanted) -> Answers:
    """Return the answers that a job has settled in the end, if each choice is answered as wanted.

    A choice for which nothing is wanted, or no answer that the file knows, stays open.
    """
    answers: dict[str, str] = {}
    for step in procedure.steps.values():
        if not isinstance(step, Choose) or not step_applies(procedure, step.id, answers):
            continue
        for choice in procedure.settled_by(step):
            if wanted.get(choice.choice) in choice.answers:
                answers[choice.choice] = wanted[choice.choice]
    return answers


def turned(procedure: Procedure, wanted: Wanted, number: int) -> Wanted:
    """Return `wanted` with the choice of this number, from 0, at its next answer, or open again."""
    choice = procedure.choices[number]
    had = wanted.get(choice.choice, "")
    ways = ["", *choice.answers]
    following = ways[(ways.index(had) + 1) % len(ways)] if had in ways else ""
    return answered(wanted, choice, following)


def answered(wanted: Wanted, choice: Choice, answer: str) -> Wanted:
    """Return `wanted` with `answer` for `choice`; with an empty one it is open."""
    others = {name: value for name, value in wanted.items() if name != choice.choice}
    return {**others, choice.choice: answer} if answer else others


def choice_lines(procedure: Procedure, wanted: Wanted) -> tuple[str, ...]:
    """Return a line for each choice: what it is about, and how it is answered."""
    counting = settled(procedure, wanted)
    return tuple(
        f"{choice.title}: {_standing(choice, wanted, counting)}" for choice in procedure.choices
    )


def vehicle_line(procedure: Procedure, wanted: Wanted) -> str:
    """Return what is chosen, in one line; empty where every choice is open."""
    counting = settled(procedure, wanted)
    named = [
        f"{choice.title}: {counting[choice.choice]}"
        for choice in procedure.choices
        if choice.choice in counting
    ]
    return f"Shown for: {'; '.join(named)}" if named else ""


def _standing(choice: Choice, wanted: Wanted, counting: Answers) -> str:
    had = wanted.get(choice.choice, "")
    if choice.choice in counting:
        return counting[choice.choice]
    if had in choice.answers:
        return f"{had}, but a job does not come to this choice"
    return OPEN
