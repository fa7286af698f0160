"""A sum on paper: its inputs, how it is worked by hand, and what it came to."""

from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.steps import Sum, SumInput
from baycompanion.sheets.boxes import boxes
from baycompanion.sheets.form import Ask, Blank, Source
from baycompanion.trade.catalogue import kind_of
from baycompanion.trade.kind import SumKind

_LEAVE_IT = (
    "What you cannot work out by hand is left to the laptop; a gate that waits for it stays shut."
)


def ask_sum(source: Source, step: Sum, last: Answered | None) -> Ask:
    """Return what the sum is worked from and what it came to."""
    kind = kind_of(step.of)
    details = last.details or {} if last is not None else {}
    results = (
        Blank(each.description.rstrip("."), details.get(each.name, ""), each.unit)
        for each in kind.results
    )
    came = tuple(details[name] for name in ("because", "shown") if name in details)
    return Ask(
        says=came,
        blanks=(
            *(_input(source, step, name) for name in step.inputs),
            *_defaults(kind, step),
            *results,
        ),
        boxes=boxes(last, "good", "bad", "could not test"),
        fine_print=(*_worked_by_hand(kind), _LEAVE_IT),
        can_be_bad=True,
    )


def _worked_by_hand(kind: SumKind) -> tuple[str, ...]:
    """Return what the sum is and how it is worked, without what a program wants to know of it."""
    lines = [line for line in kind.explained.split("\n") if line]
    return tuple(line for line in lines if not line.startswith("Errors:"))


def _defaults(kind: SumKind, step: Sum) -> tuple[Blank, ...]:
    """Return the inputs that the procedure leaves as they are, where they have a value."""
    return tuple(
        Blank(each.description.rstrip("."), each.default, each.unit)
        for each in kind.inputs
        if each.name not in step.inputs and each.default is not None
    )


def _input(source: Source, step: Sum, name: str) -> Blank:
    """Return an input of a sum: given in the procedure, or answered in an earlier step."""
    named = next((each for each in kind_of(step.of).inputs if each.name == name), None)
    label = named.description.rstrip(".") if named is not None else name
    unit = named.unit if named is not None else ""
    value = step.inputs[name]
    if not isinstance(value, SumInput):
        return Blank(label, value, unit)
    earlier = source.last(value.answer)
    known = (earlier.number or earlier.words) if earlier and earlier.weight != "neutral" else ""
    return Blank(f"{label} (step {source.procedure.number[value.answer]})", known, unit)
