"""Tools and parts: used and listed, staged before the phase that needs them."""

from collections.abc import Iterator

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.conditions import OnBench
from baycompanion.procedure.model import Part, Phase, Tool
from baycompanion.procedure.paths import Answers, applies, said, step_applies, with_phase
from baycompanion.procedure.steps import Measure, Step
from baycompanion.procedure.walk import Path, leaves_at, steps_at
from baycompanion.text.problem import Problem, quoted


def check_bench(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each tool or part that cannot be on the bench when it is needed."""
    yield from _unused(findings)
    yield from _used_early(findings)
    yield from _used_without(findings)
    yield from _held_by_nothing(findings)
    yield from _no_instrument(findings)
    yield from _nothing_needed(findings)
    for phase in findings.procedure.phases:
        for what in ("tools", "parts"):
            yield from _unstaged(findings, phase, what)


def staged(findings: Findings, phase: str, answers: Answers, before: int) -> bool:
    """Return whether what `phase` needs is ticked off ahead of step number `before`."""
    procedure = findings.procedure
    return all(
        any(
            findings.number[step] < before and step_applies(procedure, step, answers)
            for step in procedure.staging[what]
        )
        for what, needed in procedure.needed_by(phase).items()
        if needed
    )


def _unused(findings: Findings) -> Iterator[Problem]:
    used = {tool for at in steps_at(findings.procedure) for _, tool in _tools_of(at.step)}
    for place, tool in enumerate(findings.procedure.tools):
        if tool.tool not in used:
            yield findings.warning(
                ("tools", place, "tool"),
                f"No step uses the tool {quoted(tool.tool)}",
                f"Write tools: [{tool.tool}] at the step that does, or delete it",
            )


def _used_early(findings: Findings) -> Iterator[Problem]:
    """Yield tools that a step uses in a phase before the one they are staged for."""
    order = [phase.phase for phase in findings.procedure.phases]
    needed_by = {tool.tool: tool.by for tool in findings.procedure.tools}
    for at in steps_at(findings.procedure):
        for below, tool in _tools_of(at.step):
            by = needed_by.get(tool)
            if by in order and int(at.path[1]) < order.index(by):
                yield findings.error(
                    (*at.path, *below),
                    f"{quoted(tool)} is used here and must be on the bench only for {by}",
                    f"Write by: {order[int(at.path[1])]} at the tool",
                )


def _used_without(findings: Findings) -> Iterator[Problem]:
    """Yield tools that a step uses on a way on which nobody is asked for them."""
    tools = {tool.tool: tool for tool in findings.procedure.tools}
    for at in steps_at(findings.procedure):
        here = (at.step, findings.procedure.phases[int(at.path[1])])
        for below, name in _tools_of(at.step):
            way = findings.paths.gap(here, (tools[name],)) if name in tools else None
            if way is not None:
                yield findings.error(
                    (*at.path, *below),
                    f"Where {said(way)}, {quoted(name)} does not apply and this step uses it",
                    "Take when: and unless: out at the tool, or give this step the same",
                )


def _held_by_nothing(findings: Findings) -> Iterator[Problem]:
    """Yield instruments without a phase, which no gate keeps from being used when overdue."""
    for place, tool in enumerate(findings.procedure.tools):
        if not tool.instrument or tool.by is not None:
            continue
        using = (
            findings.procedure.phase_of[at.step.id].phase
            for at in steps_at(findings.procedure)
            if any(tool.tool == name for _, name in _tools_of(at.step))
        )
        phase = next(using, findings.procedure.phases[-1].phase)
        yield findings.error(
            ("tools", place, "tool"),
            f"Nothing holds the job when the calibration of {quoted(tool.tool)} is overdue",
            f"Write by: {phase} at the tool",
        )


def _no_instrument(findings: Findings) -> Iterator[Problem]:
    """Yield tools that a measurement is read from, whose calibration nobody is asked about."""
    tools = {tool.tool: tool for tool in findings.procedure.tools}
    for at in steps_at(findings.procedure):
        name = at.step.instrument if isinstance(at.step, Measure) else None
        if name in tools and not tools[name].instrument:
            yield findings.warning(
                (*at.path, "instrument"),
                f"Nobody is asked when the calibration of {quoted(name)} is due",
                "Write instrument: yes at the tool",
            )


def _tools_of(step: Step) -> Iterator[tuple[Path, str]]:
    """Yield the tools that `step` names, each with its path below the step."""
    for place, tool in enumerate(step.tools):
        yield ("tools", place), tool
    if isinstance(step, Measure) and step.instrument is not None:
        yield ("instrument",), step.instrument


def _nothing_needed(findings: Findings) -> Iterator[Problem]:
    """Yield gates that wait for the tools and parts of a phase that needs none."""
    procedure = findings.procedure
    for place, gate in enumerate(procedure.gates):
        for path, leaf in leaves_at(gate.until, ("gates", place, "until")):
            if not isinstance(leaf, OnBench) or leaf.on_bench not in procedure.phase_named:
                continue
            if not any(procedure.needed_by(leaf.on_bench).values()):
                yield findings.warning(
                    path,
                    f"The phase {quoted(leaf.on_bench)} needs nothing on the bench",
                    f"Write by: {leaf.on_bench} at its tools and parts, or delete this",
                )


def _unstaged(findings: Findings, phase: Phase, what: str) -> Iterator[Problem]:
    """Yield the first thing that `phase` needs, where no step ahead of it ticks it off."""
    procedure = findings.procedure
    if not procedure.needed_by(phase.phase)[what]:
        return
    first = phase.steps[0].id
    steps = [
        step for step in procedure.staging[what] if findings.number[step] < findings.number[first]
    ]
    things = [phase, *(thing for step in steps for thing in with_phase(procedure, step))]
    for way in findings.paths.through(*things) or ({},):
        if applies(phase, way) and not any(step_applies(procedure, step, way) for step in steps):
            where = f"Where {said(way)}, no step" if way and steps else "No step"
            listed: tuple[Tool | Part, ...] = (
                procedure.tools if what == "tools" else procedure.parts
            )
            place = next(nth for nth, thing in enumerate(listed) if thing.by == phase.phase)
            yield findings.error(
                (what, place, "by"),
                f"{where} ahead of {phase.phase} ticks off the {what} it needs",
                f"Write a do: with each: {what} in an earlier phase",
            )
            return
