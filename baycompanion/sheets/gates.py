"""A gate on paper: why it stands, what must be true, who may override it, and how it stands."""

from collections.abc import Iterable, Iterator

from baycompanion.job.state.gates import missing
from baycompanion.job.state.state import GateTrack
from baycompanion.procedure.conditions import (
    AllOf,
    AnyOf,
    Condition,
    NoOpenFault,
    OnBench,
    step_named,
)
from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.paths import with_phase
from baycompanion.procedure.steps import Step
from baycompanion.sheets.form import Blank, GatePart, Need, Source, Stamp
from baycompanion.sheets.words import applying_note, moment, numbers, why_not

MAY = {
    "technician": "Any technician or supervisor may override it.",
    "supervisor": "Only a supervisor may override it.",
    "nobody": "Nobody may override it.",
}

STANDINGS = {
    None: "ahead",
    "held": "shut",
    "open": "open",
    "overridden": "overridden",
    "shut again": "shut again",
}
"""The word for what has happened at a gate."""

_FAULTS = {
    "work": "No fault of our work is open.",
    "other": "No fault of our work is open, save one that another gate waits for by “matching”.",
    "any": "No fault is open, of the vehicle or of our work.",
}
"""Which faults hold a gate, by the word that it says of them."""
_MET = {
    "done": "done",
    "passed": "passed",
    "inside": "inside its limits",
    "recorded": "recorded",
    "over": "over",
    "matching": "matching",
    "witnessed": "passed by a second person",
    "good": "good",
}
"""What each condition on a step asks of it."""


def gates_before(source: Source, step: Step) -> tuple[GatePart, ...]:
    """Return the gates that begin to hold at `step`: at itself, or at its phase that it opens.

    A gate that holds several things stands in full at the first of them, and is named at the rest.
    """
    procedure = source.procedure
    parts = []
    for gate in procedure.gates_on[step.id]:
        held = _held_numbers(procedure, gate)
        starts = [run[0] for run in held]
        if procedure.number[step.id] not in starts:
            continue
        first = min(starts)
        part = gate_part(source, gate)
        parts.append(part if first == procedure.number[step.id] else _named_again(part, first))
    return tuple(parts)


def _held_numbers(procedure: Procedure, gate: Gate) -> list[list[int]]:
    """Return the numbers of the steps held, for each step or phase that `gate` holds."""
    held = []
    for name in gate.holds:
        phase = procedure.phase_named.get(name)
        steps = phase.steps if phase is not None else (procedure.steps[name],)
        held.append([procedure.number[step.id] for step in steps])
    return held


def _named_again(part: GatePart, first: int) -> GatePart:
    return GatePart(part.name, part.holds, part.standing, again=f"It stands before step {first}.")


def gate_part(source: Source, gate: Gate) -> GatePart:
    """Return `gate` with how it stands."""
    track = source.state.gates.get(gate.gate)
    standing = track.standing if track is not None else None
    held = sorted({number for run in _held_numbers(source.procedure, gate) for number in run})
    opened_at = track.at if track is not None and standing == "open" else None
    override = track.override if track is not None else None
    return GatePart(
        name=gate.gate,
        holds=numbers(held),
        standing=_standing(source, gate),
        because=gate.because,
        until=tuple(_needs(source, gate.until)),
        waits_for=_waits_for(source, gate) if standing in ("held", "shut again") else (),
        note=applying_note(source, gate),
        may=MAY[gate.override],
        opened=Stamp(
            moment(source, opened_at), by_label="" if opened_at else "by", at_label="Open at"
        ),
        override=_override_stamp(source, gate, track),
        open=standing == "open",
        overridden=override is not None,
        blanks=(
            Blank("Reason", override.reason if override else "", wide=True),
            Blank("In words", override.words if override else "", wide=True),
            Blank("Protects instead", override.instead if override else "", wide=True),
        ),
    )


def _standing(source: Source, gate: Gate) -> str:
    """Return the word for how `gate` stands; empty without a job, or where it does not apply."""
    if not source.state.opened.job or why_not(source, gate):
        return ""
    track = source.state.gates.get(gate.gate)
    return STANDINGS[track.standing if track is not None else None]


def _override_stamp(source: Source, gate: Gate, track: GateTrack | None) -> Stamp | None:
    """Return by whom and when `gate` was overridden, None where nobody may."""
    if gate.override == "nobody":
        return None
    by_label = "by supervisor" if gate.override == "supervisor" else "by"
    if track is None or track.override is None:
        return Stamp(at_label="Overridden at", by_label=by_label)
    return Stamp(moment(source, track.at), track.by, by_label, "Overridden at")


def _waits_for(source: Source, gate: Gate) -> tuple[str, ...]:
    return tuple(thing.words for thing in missing(source.procedure, source.state, gate))


def _needs(source: Source, conditions: Iterable[Condition], depth: int = 0) -> Iterator[Need]:
    for condition in conditions:
        if isinstance(condition, AllOf):
            yield Need(depth, "All of these:")
            yield from _needs(source, condition.all, depth + 1)
        elif isinstance(condition, AnyOf):
            yield Need(depth, "Any one of these:")
            yield from _needs(source, condition.any, depth + 1)
        elif isinstance(condition, OnBench):
            yield from _on_bench(source, condition.on_bench, depth)
        else:
            yield Need(depth, _need_words(source, condition))


def _need_words(source: Source, condition: Condition) -> str:
    if isinstance(condition, NoOpenFault):
        return _FAULTS[condition.no_open_fault]
    name = str(step_named(condition))
    note = applying_note(source, *with_phase(source.procedure, name))
    met = next(word for key, word in _MET.items() if hasattr(condition, key))
    step = source.procedure.steps[name]
    said = f"Step {source.procedure.number[name]} is {met}: {step.text}"
    return f"{said} ({note})" if note else said


def _on_bench(source: Source, phase: str, depth: int) -> Iterator[Need]:
    """Yield what lies on the bench before `phase`, with the steps that tick it off."""
    for what, things in source.procedure.needed_by(phase).items():
        if not things:
            continue
        ticked = [source.procedure.number[step] for step in source.procedure.staging[what]]
        where = f" ({numbers(ticked)})" if ticked else ""
        names = []
        for thing in things:
            note = applying_note(source, thing)
            names.append(f"{thing.name} ({note})" if note else thing.name)
        yield Need(depth, f"On the bench, {what}{where}: {'; '.join(names)}")
