"""What a newer revision changes in a job, in lines to read before deciding on it."""

from collections.abc import Iterable, Iterator

from baycompanion.job.state.state import State
from baycompanion.procedure.comparing.changes import Changes
from baycompanion.procedure.comparing.comparing import Section, compare
from baycompanion.procedure.model import Procedure, Standing
from baycompanion.views.procedure.comparing import weakening_words


def change_lines(
    old: Procedure, new: Procedure, state: State, found: Changes
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what moving the job from `old` to `new` means: each heading with its lines.

    Steps have the numbers of the revision in which they stand. A gate that got weaker comes first.
    """
    again = [name for name in found.changed if state.track(name).finished]
    compared = compare(old, new)
    sections = {section.kind: section for section in compared.sections}
    weaker = tuple(weakening_words(old, new, each) for each in compared.weakened)
    standing = tuple(_standing(old, new, sections.get("standing conditions")))
    moved = tuple(_moved(old, new, sections.get("steps")))
    headings = (
        ("Gates that are easier to get past than before", weaker),
        ("What was done already and is done again", _steps(new, again)),
        ("Asked otherwise than before", _steps(new, set(found.changed) - set(again))),
        ("What must stay true, otherwise than before", standing),
        ("Steps that stand elsewhere now", moved),
        ("New steps", _steps(new, found.added)),
        ("Steps that are gone", _steps(old, found.gone)),
        ("Gates that are others now", found.gates_changed),
        ("New gates", found.gates_added),
        ("Gates that are gone", found.gates_gone),
        ("Before the work goes on", ("The hazards are accepted anew.",) if found.hazards else ()),
    )
    return tuple((heading, lines) for heading, lines in headings if lines) or (
        ("For this job", ("Nothing is done otherwise.",)),
    )


def _steps(procedure: Procedure, names: Iterable[str]) -> tuple[str, ...]:
    """Return the steps called `names` in their order, each with its number."""
    wanted = set(names)
    return tuple(
        f"{procedure.number[name]}. {step.text}"
        for name, step in procedure.steps.items()
        if name in wanted
    )


def _standing(old: Procedure, new: Procedure, found: Section | None) -> Iterator[str]:
    """Yield which standing conditions are new, others, or gone, and between which steps."""
    if found is None:
        return
    for standing in new.standing:
        if standing.standing in found.added:
            yield f"new: {_between(new, standing)}"
        elif any(each.name == standing.standing for each in found.changed):
            yield f"another: {_between(new, standing)}"
    for standing in old.standing:
        if standing.standing in found.gone:
            yield f"no more: {standing.says}"


def _between(procedure: Procedure, standing: Standing) -> str:
    begins, ends = procedure.number[standing.begins], procedure.number[standing.ends]
    return f"{standing.says} From {begins} to {ends}."


def _moved(old: Procedure, new: Procedure, found: Section | None) -> Iterator[str]:
    for name in found.moved if found is not None else ():
        yield f"{new.number[name]}. {new.steps[name].text} It was {old.number[name]}."
