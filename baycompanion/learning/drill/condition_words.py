"""A condition of a gate in words, and the like condition on any step."""

from baycompanion.learning.drill.question_words import said
from baycompanion.procedure.conditions import (
    AllOf,
    AnyOf,
    Condition,
    NoOpenFault,
    OnBench,
    step_named,
)
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Check, Measure, Record, Step, Sum, Wait, Witness
from baycompanion.text.to_model import first_key

_SAID = {
    "done": "is done",
    "passed": "has passed",
    "inside": "reads inside its limits",
    "recorded": "is recorded",
    "over": "has run out",
    "matching": "agrees with what was there before",
    "witnessed": "was seen by a second person",
    "good": "came out good",
}
_FAULTS = {
    "work": "No fault of this job is open",
    "other": "No fault of this job is open but those that a gate of their own waits for",
    "any": "No fault is open, of this job or of the vehicle",
}


def condition_words(procedure: Procedure, condition: Condition) -> tuple[str, str]:
    """Return a name for `condition`, and what it asks for, in words."""
    if isinstance(condition, AllOf | AnyOf):
        both = isinstance(condition, AllOf)
        inner = condition.all if isinstance(condition, AllOf) else condition.any
        parts = [condition_words(procedure, each) for each in inner]
        joined = (", and " if both else ", or ").join(
            f"({words})" if isinstance(each, AllOf | AnyOf) else words
            for each, (_, words) in zip(inner, parts, strict=True)
        )
        return ("+" if both else "|").join(name for name, _ in parts), joined
    if isinstance(condition, NoOpenFault):
        return f"no-open-fault-{condition.no_open_fault}", _FAULTS[condition.no_open_fault]
    if isinstance(condition, OnBench):
        title = procedure.phase_named[condition.on_bench].title
        return f"on-bench-{condition.on_bench}", f"What {said(title)} needs lies on the bench"
    name = str(step_named(condition))
    word = _SAID[first_key(type(condition))]
    return name, f"{said(procedure.steps[name].text)} {word}"


def gone_well(step: Step) -> str:
    """Return that `step` went well, in the words of a condition that would ask for it."""
    return f"{said(step.text)} {_SAID[_condition_on(step)]}"


def _condition_on(step: Step) -> str:
    if any(getattr(step, word, None) for word in ("matches", "repeats", "compares")):
        return "matching"
    if isinstance(step, Measure):
        return "inside" if (step.at_least, step.at_most) != (None, None) else "done"
    kinds = {Check: "passed", Record: "recorded", Wait: "over", Witness: "witnessed", Sum: "good"}
    return kinds.get(type(step), "done")
