"""What a newer revision changes in a job, in lines to read before deciding on it."""

from collections.abc import Iterable

from baycompanion.job.state.state import State
from baycompanion.procedure.comparing.changes import Changes
from baycompanion.procedure.comparing.weakening import weakened
from baycompanion.procedure.model import Procedure
from baycompanion.views.procedure.comparing import weakening_words


def change_lines(
    old: Procedure, new: Procedure, state: State, found: Changes
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what moving the job from `old` to `new` means: each heading with its lines.

    Steps have the numbers of the revision in which they stand. A gate that got weaker comes first.
    """
    again = [name for name in found.changed if state.track(name).finished]
    weaker = tuple(weakening_words(old, new, each) for each in weakened(old, new))
    headings = (
        ("Gates that are easier to get past than before", weaker),
        ("What was done already and is done again", _steps(new, again)),
        ("Asked otherwise than before", _steps(new, set(found.changed) - set(again))),
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
