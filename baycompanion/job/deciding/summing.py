"""Working the sum of a step: its refusals name an input as the card does, not as a file does."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.state.gates import Missing
from baycompanion.procedure.steps import Sum
from baycompanion.trade.figures import with_figures

if TYPE_CHECKING:  # it brings every sum
    from baycompanion.trade.catalogue import Worked


def worked(draft: Draft, step: Sum, given: Mapping[str, str]) -> "Worked":
    """Return what the sum of `step` comes to for `given`, or refuse the input that is wrong."""
    from baycompanion.trade.catalogue import WrongInput, kind_of, work  # with every sum, only here

    try:
        return work(step.of, with_figures(kind_of(step.of), given, draft.state.figures))
    except WrongInput as wrong:
        refuse(
            f"“{input_called(step, wrong.name)}” {wrong.wrong}",
            *_asked_at(draft, step, wrong.name),
        )
    except ValueError as error:
        refuse(f"{error}".rstrip(".") + ".")


def as_input(said: str, unit: str | None) -> str:
    """Return what an answer `said` as text that a sum reads, which converts its unit."""
    return f"{said} {unit}" if unit else said


def input_called(step: Sum, name: str) -> str:
    """Return what the input called `name` is, as the card of `step` shows it."""
    from baycompanion.trade.catalogue import kind_of  # with every sum, and only here

    known = {each.name: each.description.rstrip(".") for each in kind_of(step.of).inputs}
    return known.get(name, name)


def _asked_at(draft: Draft, step: Sum, name: str) -> tuple[Missing, ...]:
    """Return the step to reopen for another input called `name`; none where none asked for it."""
    value = step.inputs.get(name)
    if value is None or isinstance(value, str):
        return ()
    source = draft.procedure.steps[value.answer]
    return (Missing(f"Reopen {draft.procedure.number[source.id]}. {source.text}", source.id),)
