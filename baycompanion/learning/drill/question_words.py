"""The words that questions of all kinds share."""

from collections.abc import Iterable

from baycompanion.learning.orders.together import by_mentor
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import with_phase
from baycompanion.procedure.steps import Step
from baycompanion.text.sentence import sentence


def alike(words: str) -> str:
    """Return what two texts share that a person reads as the same."""
    return " ".join(words.casefold().split()).rstrip(".!? ")


def said(text: str) -> str:
    """Return the text of a step as it stands in a sentence."""
    return f"“{text.rstrip('.')}”"


def vehicle_lines(procedure: Procedure, steps: Iterable[str]) -> tuple[str, ...]:
    """Return what the vehicle is like on which all of `steps` apply, a line for each choice."""
    titles = {choice.choice: choice.title for choice in procedure.choices}
    lines = list[str]()
    for name in steps:
        for thing in with_phase(procedure, name):
            for choice, answers in thing.when.items():
                lines.append(f"{titles.get(choice, choice)}: {' or '.join(answers)}.")
            for choice, answers in thing.unless.items():
                lines.append(f"{titles.get(choice, choice)}: not {' or '.join(answers)}.")
            if by_mentor(thing):
                lines.append("A trainee does this job.")
    return tuple(dict.fromkeys(lines))


def why_of(procedure: Procedure, step: Step) -> str:
    """Return why `step` stands where it does: its own words, else those of a gate that holds it."""
    if step.why:
        return step.why
    written = {gate.gate: gate.because for gate in procedure.gates}
    return next((written[g.gate] for g in procedure.gates_on[step.id] if g.gate in written), "")


def sentences(*parts: str | None) -> str:
    """Return `parts` as sentences side by side; nothing is left of those that are empty."""
    return " ".join(sentence(part) for part in parts if part)
