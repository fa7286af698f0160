"""Gates that can never open, and second persons whom no gate waits for."""

from collections.abc import Iterable, Iterator

from baycompanion.procedure.checks.bench import staged
from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.conditions import (
    AllOf,
    AnyOf,
    Condition,
    NoOpenFault,
    OnBench,
    Witnessed,
    leaves,
    step_named,
)
from baycompanion.procedure.model import Gate
from baycompanion.procedure.paths import Answers, applies, said, step_applies, with_phase
from baycompanion.procedure.steps import Applying, Witness
from baycompanion.procedure.walk import Path, held_by, leaves_at, steps_at
from baycompanion.text.problem import Problem, quoted


def check_gates(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each condition that comes too late to open its gate, or to help.

    Steps run strictly in order, so a gate opens only by what comes before the first step it
    holds. This is worked out for every way in which the choices can come out.
    """
    for place, gate in enumerate(findings.procedure.gates):
        held = held_by(findings.procedure, gate.holds)
        ways = findings.paths.through(*_involved(findings, gate, held)) or ({},)
        shut = next((way for way in ways if _stays_shut(findings, gate, held, way)), None)
        if shut is None:
            yield from _never_counting(findings, ("gates", place), gate, held, ways)
        else:
            everywhere = all(_stays_shut(findings, gate, held, way) for way in ways)
            where = "This gate" if everywhere else f"Where {said(shut)}, this gate"
            yield from _too_late(findings, ("gates", place), gate, held, shut, where)


def check_witnesses(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each witness that no gate after it waits for.

    It would pass if nobody came.
    """
    steps, until = findings.procedure.steps, dict[str, int]()
    for gate in findings.procedure.gates:
        held = [findings.number[step] for step in held_by(findings.procedure, gate.holds)]
        for leaf in leaves(gate.until):
            if isinstance(leaf, Witnessed) and not isinstance(steps.get(leaf.witnessed), Witness):
                return  # the gate is there, and its name leads elsewhere: told elsewhere
            name = str(step_named(leaf))
            # What it holds may lead nowhere, which is told elsewhere: then any step may be held.
            until[name] = max(until.get(name, 0), *(held or findings.number.values()))
    for at in steps_at(findings.procedure):
        if isinstance(at.step, Witness) and until.get(at.step.id, 0) <= at.number:
            yield findings.error(
                (*at.path, "witness"),
                "Nothing holds the job when nobody comes to witness this",
                f"Write witnessed: {at.step.id} at a gate that holds a later step",
            )


def _involved(findings: Findings, gate: Gate, held: list[str]) -> list[Applying]:
    """Return everything whose choices bear on when `gate` is reached and what opens it."""
    procedure = findings.procedure
    named = [name for leaf in leaves(gate.until) if (name := step_named(leaf)) in procedure.steps]
    staging = [step for steps in procedure.staging.values() for step in steps]
    bench = any(isinstance(leaf, OnBench) for leaf in leaves(gate.until))
    steps = [*held, *named, *(staging if bench else ())]
    return [gate, *(thing for step in steps for thing in with_phase(procedure, str(step)))]


def _stays_shut(findings: Findings, gate: Gate, held: list[str], way: Answers) -> bool:
    """Return whether the work comes to `gate` on this way and can never go on."""
    first = _first_held(findings, held, way)
    if first is None or not applies(gate, way):
        return False
    return _all([_in_time(findings, each, way, first) for each in gate.until]) is False


def _first_held(findings: Findings, held: list[str], way: Answers) -> int | None:
    """Return the number of the first held step that applies on this way, if one does."""
    applying = (step for step in held if step_applies(findings.procedure, step, way))
    return next((findings.number[step] for step in applying), None)


def _in_time(findings: Findings, condition: Condition, way: Answers, first: int) -> bool | None:
    """Return whether `condition` can be met ahead of step number `first`.

    None where it counts neither for nor against, because its step does not apply.
    """
    if isinstance(condition, AllOf):
        return _all([_in_time(findings, each, way, first) for each in condition.all])
    if isinstance(condition, AnyOf):
        counting = [_in_time(findings, each, way, first) for each in condition.any]
        return None if set(counting) == {None} else True in counting
    if isinstance(condition, NoOpenFault):
        return True
    if isinstance(condition, OnBench):
        return staged(findings, condition.on_bench, way, first)
    step = str(step_named(condition))
    if step not in findings.procedure.steps:  # told elsewhere
        return None
    return findings.number[step] < first if step_applies(findings.procedure, step, way) else None


def _never_counting(
    findings: Findings, path: Path, gate: Gate, held: list[str], ways: Iterable[Answers]
) -> Iterator[Problem]:
    """Yield a warning for each condition that comes too late on every way, in a gate that opens.

    It stands among several of which any will do: whoever wrote it believes that there is one more.
    """
    reached = [
        (way, first)
        for way in ways
        if applies(gate, way) and (first := _first_held(findings, held, way)) is not None
    ]
    for below, leaf in leaves_at(gate.until, (*path, "until")):
        counts = {_in_time(findings, leaf, way, first) for way, first in reached}
        if False in counts and True not in counts:
            what, instead = _why_late(leaf, held)
            yield findings.warning(below, f"This can never open its gate: {what}", instead)


def _all(counting: list[bool | None]) -> bool | None:
    return None if set(counting) == {None} else False not in counting


def _too_late(
    findings: Findings, path: Path, gate: Gate, held: list[str], way: Answers, where: str
) -> Iterator[Problem]:
    """Yield a problem for each condition of `gate` that cannot be met in time on this way."""
    first = _first_held(findings, held, way)
    assert first is not None
    for below, leaf in leaves_at(gate.until, (*path, "until")):
        if _in_time(findings, leaf, way, first) is not False:
            continue
        what, instead = _why_late(leaf, held)
        yield findings.error(below, f"{where} can never open: {what}", instead)


def _why_late(leaf: Condition, held: list[str]) -> tuple[str, str]:
    """Return why `leaf` cannot be met ahead of what its gate holds, and what to do instead."""
    name = step_named(leaf)
    if name is None:
        what = "no step ticks off what it waits for, ahead of what it holds"
        return what, "Write a do: with each: tools and one with each: parts before it"
    which = "which it holds itself" if name in held else "which comes after what it holds"
    instead = "Let it wait for an earlier step, or hold a later one"
    return f"it waits for {quoted(name)}, {which}", instead
