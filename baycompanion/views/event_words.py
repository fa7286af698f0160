"""An event in a few words, as a supervisor reads it beside a finding."""

from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import (
    Answered,
    Begun,
    FaultRaised,
    GateHeld,
    GateOpened,
    GateShutAgain,
    Opened,
    Overridden,
    Reopened,
    Ticked,
)
from baycompanion.job.events.practice_kinds import Looked, NextSaid, RanInto, Unprotected
from baycompanion.job.state.words import answer_words
from baycompanion.procedure.model import Procedure
from baycompanion.text.sentence import sentence

LEFT_OUT = frozenset({"format", "sha256", "procedure_hash", "figures", "order", "weight", "signed"})
"""What no supervisor reads an event for."""


def event_line(event: Event, procedure: Procedure | None) -> str:
    """Return number, time (UTC), person and what happened; without `procedure`, steps by id."""
    at = event.at[:16].replace("T", " ")
    return f"{event.seq} · {at} · {event.by} · {what_happened(event.data, procedure)}"


def what_happened(data: Data, procedure: Procedure | None) -> str:
    """Return what an event says, in words."""
    match data:
        case Opened():
            return f"took the keys: {data.vehicle.description}, {data.work_order}"
        case Begun():
            how = "took up out of its place" if data.taken_up else "began"
            return f"{how} {_step(data.step, procedure)}"
        case Answered():
            return f"answered {_step(data.step, procedure)} {_answer(data, procedure)}"
        case Ticked():
            said = f"{data.outcome} {data.words}".strip()
            return f"line {data.item} of {_step(data.step, procedure)} {said}"
        case GateHeld():
            return f"gate {data.gate} held: {' '.join(data.missing)}"
        case GateOpened():
            return f"gate {data.gate} opened by its condition"
        case GateShutAgain():
            return f"gate {data.gate} shut again"
        case Overridden():
            return (
                f"overrode the gate {data.gate} as {data.role}: {data.reason}. "
                f"{sentence(data.words)} Instead: {data.instead}"
            )
        case FaultRaised():
            return f"fault {data.fault} ({data.cause}): {data.words}"
        case Reopened():
            return f"reopened {_step(data.step, procedure)} Why: {data.reason}"
    return _practised(data, procedure)


def _practised(data: Data, procedure: Procedure | None) -> str:
    """Return what an event of practice says, and any other by the names of what it carries."""
    match data:
        case NextSaid():
            told = "right" if data.right else f"due was {_step(data.due, procedure)}"
            return f"said that next comes {_step(data.said, procedure)} ({told})"
        case RanInto():
            waits = " ".join(data.missing)
            return f"ran into the gate {data.gate} with {_step(data.step, procedure)} {waits}"
        case Unprotected():
            return f"without {data.standing}, which protects {_step(data.step, procedure)}"
        case Looked():
            return f"looked at {_step(data.step, procedure)}"
    return _any(data, procedure)


def _any(data: Data, procedure: Procedure | None) -> str:
    """Return an event by the names of what it carries."""
    parts = []
    for name, value in data.model_dump(exclude_none=True).items():
        if name in LEFT_OUT or value in ("", [], {}):
            continue
        said = _step(str(value), procedure) if name == "step" else _value(value)
        parts.append(f"{name.replace('_', ' ')} {said}")
    return ": ".join(filter(None, (data.kind.replace("-", " "), "; ".join(parts))))


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(_value, value))
    if isinstance(value, dict):
        return ", ".join(f"{key} {_value(each)}" for key, each in value.items())
    return str(value)


def _step(name: str, procedure: Procedure | None) -> str:
    """Return a step by number and text, or by its id where the procedure is not known."""
    step = procedure.steps.get(name) if procedure is not None else None
    if procedure is None or step is None:
        return f"{name}:"
    return f"{procedure.number[name]}. {step.text}"


def _answer(data: Answered, procedure: Procedure | None) -> str:
    step = procedure.steps.get(data.step) if procedure is not None else None
    if procedure is None or step is None:
        return f"{data.outcome} {data.words}".strip()
    return answer_words(procedure, step, data)
