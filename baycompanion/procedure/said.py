"""What stands at one key of a procedure file, in lines for a person to read."""

import datetime
from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from baycompanion.procedure.conditions import (
    KINDS,
    AllOf,
    AnyOf,
    Condition,
    Done,
    Good,
    Inside,
    Matching,
    NoOpenFault,
    OnBench,
    Over,
    Passed,
    Recorded,
    Witnessed,
    step_named,
)
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Applying
from baycompanion.text.duration import write_duration
from baycompanion.text.reading import write_number

_LENGTHS = {"target", "shortest", "lasts"}
_NAMES_STEPS = {
    *("holds", "of", "begins", "ends", "since", "matches", "compares", "repeats", "back_to"),
    *("provisional", "answer"),
}
_MET: dict[type[BaseModel], str] = {
    Done: "is done",
    Passed: "passed",
    Inside: "is inside its limits",
    Recorded: "is written down",
    Over: "has run out",
    Matching: "agrees",
    Witnessed: "was seen by a second person",
    Good: "came out good",
}
_FAULTS = {
    "work": "no fault of the work is open",
    "other": "no fault of the work is open that no other gate waits for",
    "any": "no fault is open",
}


def said(procedure: Procedure, key: str, value: Any) -> tuple[str, ...]:
    """Return `value`, which stands at `key` in `procedure`, a line for each item of a list."""
    if value is None or value == "":
        return ()
    if isinstance(value, dict):
        return tuple(f"{name}: {_line(procedure, key, each)}" for name, each in value.items())
    if isinstance(value, tuple | list):
        return tuple(_line(procedure, key, each) for each in value)
    return (_line(procedure, key, value),)


def step_said(procedure: Procedure, name: str) -> str:
    """Return a step by its number and its words, a phase by its title, any other name as it is."""
    if name in procedure.steps:
        return f"{procedure.number[name]}. {procedure.steps[name].text.rstrip('.')}"
    if name in procedure.phase_named:
        return f"phase {procedure.phase_named[name].title}"
    return name


def condition_said(procedure: Procedure, condition: Condition) -> str:
    """Return what a gate waits for, as a clause of a sentence."""
    if isinstance(condition, AllOf | AnyOf):
        every = isinstance(condition, AllOf)
        parts = condition.all if isinstance(condition, AllOf) else condition.any
        joined = (" and " if every else " or ").join(
            condition_said(procedure, part) for part in parts
        )
        return joined if len(parts) == 1 else f"({joined})"
    if isinstance(condition, NoOpenFault):
        return _FAULTS[condition.no_open_fault]
    if isinstance(condition, OnBench):
        names = [
            thing.name
            for needed in procedure.needed_by(condition.on_bench).values()
            for thing in needed
        ]
        return f"on the bench: {', '.join(names)}"
    name = str(step_named(condition))
    return f"“{step_said(procedure, name)}” {_MET[type(condition)]}"


def only_where(thing: Applying) -> str:
    """Return with which answers `thing` belongs to the job, empty where it always does."""
    wanted = [f"{name} is {' or '.join(given)}" for name, given in thing.when.items()]
    unwanted = [f"{name} is not {' or '.join(given)}" for name, given in thing.unless.items()]
    found = " and ".join(wanted + unwanted)
    return f"only where {found}" if found else ""


def _line(procedure: Procedure, key: str, value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return write_number(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, int):
        return write_duration(value) if key in _LENGTHS else str(value)
    if isinstance(value, tuple | list):
        return " or ".join(_line(procedure, key, each) for each in value)
    if isinstance(value, KINDS):
        return condition_said(procedure, value)
    if isinstance(value, BaseModel):
        return _mapping(procedure, value)
    return step_said(procedure, str(value)) if key in _NAMES_STEPS else str(value)


def _mapping(procedure: Procedure, value: BaseModel) -> str:
    """Return a small mapping, like a line of a list or a caution, in one line of its values."""
    parts: list[str] = []
    for name, field in type(value).model_fields.items():
        given = getattr(value, name)
        if given == field.default or given in (None, "", {}, ()):
            continue
        words = "; ".join(said(procedure, name, given))
        parts.append(words if len(words) > 40 or not parts else f"{name.replace('_', ' ')} {words}")
    return ", ".join(parts)
