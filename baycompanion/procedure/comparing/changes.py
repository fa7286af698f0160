"""What is different between two revisions of a procedure, for whoever works by it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.steps import Choose, Step

_QUIET = {"why", "target", "shortest", "faults"}
"""What a step may say otherwise without being done otherwise."""


@dataclass(frozen=True, slots=True)
class Changes:
    """The ids of what is new, gone, or asks for something else; steps in their order."""

    added: tuple[str, ...]
    gone: tuple[str, ...]
    changed: tuple[str, ...]
    """Steps that are asked, answered or guarded otherwise than before."""
    phases_gone: tuple[str, ...]
    gates_added: tuple[str, ...]
    gates_gone: tuple[str, ...]
    gates_changed: tuple[str, ...]
    """Gates that hold something else, wait for something else, or may be overridden otherwise."""
    hazards: bool
    """Whether the hazards of the whole job, or what it fits, are others."""


def changes(old: Procedure, new: Procedure) -> Changes:
    """Return what `new` says otherwise than `old`."""
    was, now = old.all_gates, new.all_gates
    return Changes(
        added=_only_in(new.steps, old.steps),
        gone=_only_in(old.steps, new.steps),
        changed=_unlike(_all_asked(old), _all_asked(new)),
        phases_gone=_only_in(old.phase_named, new.phase_named),
        gates_added=_only_in(now, was),
        gates_gone=_only_in(was, now),
        gates_changed=_unlike(_all_held(old), _all_held(new)),
        hazards=(old.hazards, old.fits) != (new.hazards, new.fits),
    )


def _only_in(these: Iterable[str], those: Iterable[str]) -> tuple[str, ...]:
    known = set(those)
    return tuple(name for name in these if name not in known)


def _unlike(was: dict[str, Any], now: dict[str, Any]) -> tuple[str, ...]:
    return tuple(name for name in now if name in was and was[name] != now[name])


def _all_asked(procedure: Procedure) -> dict[str, Any]:
    return {name: _asked(procedure, step) for name, step in procedure.steps.items()}


def _all_held(procedure: Procedure) -> dict[str, Any]:
    return {name: _held(procedure, gate) for name, gate in procedure.all_gates.items()}


def _asked(procedure: Procedure, step: Step) -> Any:
    """Return all that bears on how `step` is done and answered, the lines it lists included."""
    phase = procedure.phase_of[step.id]
    answers = [
        choice.answers
        for choice in procedure.choices
        if isinstance(step, Choose) and choice.choice in step.settles
    ]
    used = {*step.tools, *(item.item for item in procedure.items_of(step))}
    tools = [tool for tool in procedure.tools if tool.tool in used]
    said = step.model_dump(exclude=_QUIET)
    return step.verb, said, procedure.items_of(step), answers, tools, phase.when, phase.unless


def _held(procedure: Procedure, gate: Gate) -> Any:
    """Return all that bears on when `gate` opens, the things it needs on the bench included."""
    needed = [procedure.needed_by(phase) for phase in gate.holds if phase in procedure.phase_named]
    return gate.model_dump(exclude={"because"}), needed
