"""What a step or a phase on its own lacks or contradicts: times, torque, units, sources."""

from collections.abc import Iterator

from baycompanion.procedure.cautions import Torque
from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.model import Phase
from baycompanion.procedure.steps import Do, Inspect, Measure, Record, Step, Wait
from baycompanion.procedure.walk import Path, StepAt, steps_at
from baycompanion.text.duration import write_duration
from baycompanion.text.problem import Problem, quoted
from baycompanion.text.reading import write_number


def check_steps(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each step or phase that something is missing from."""
    for place, phase in enumerate(findings.procedure.phases):
        yield from _phase_times(findings, ("phases", place), phase)
    for at in steps_at(findings.procedure):
        yield from _step_times(findings, at)
        yield from _torque(findings, at)
        yield from _numbers(findings, at)
        yield from _sources(findings, at)
    yield from _compared(findings)


def _phase_times(findings: Findings, path: Path, phase: Phase) -> Iterator[Problem]:
    if phase.target is None:
        what = f"The phase {quoted(phase.phase)} has no target"
        yield findings.error((*path, "phase"), what, "Write target: and a time like 20 min")
        return
    if not phase.target:
        yield _no_time(findings, (*path, "target"), "target", "20 min")
        return
    least = sum(_least(step) for step in phase.steps if not (step.when or step.unless))
    if least > phase.target:
        yield findings.warning(
            (*path, "target"),
            f"The steps of this phase take {write_duration(least)} at the least",
            "Write a longer target, or shorter times at the steps",
        )


def _least(step: Step) -> int:
    """Return the seconds that `step` takes at the least, as far as its file says."""
    waits = step.lasts if isinstance(step, Wait) and step.since is None else None
    return max(step.shortest or 0, waits or 0)


def _step_times(findings: Findings, at: StepAt) -> Iterator[Problem]:
    target, shortest = at.step.target, at.step.shortest
    if target == 0:
        yield _no_time(findings, (*at.path, "target"), "target", "5 min")
        return
    if isinstance(at.step, Wait) and at.step.lasts == 0:
        yield _no_time(findings, (*at.path, "lasts"), "length of this wait", "3 min")
    if target is not None and shortest is not None and shortest > target:
        yield findings.error(
            (*at.path, "shortest"),
            f"The shortest time is longer than the target of {write_duration(target)}",
            "Write a shorter one, or a longer target",
        )


def _no_time(findings: Findings, path: Path, what: str, like: str) -> Problem:
    return findings.error(path, f"The {what} is no time at all", f"Write a time like {like}")


def _torque(findings: Findings, at: StepAt) -> Iterator[Problem]:
    for place, torque in enumerate(at.step.torque):
        path = (*at.path, "torque", place)
        yield from _no_torque(findings, path, torque)
        if torque.value is None or torque.value <= 0:
            continue
        if not isinstance(at.step, Measure):
            yield findings.warning(
                (*path, "value"),
                "A torque with a value is tightened here and its reading is not asked for",
                "Begin the step with measure:, and write the limits",
            )
        elif torque.unit == at.step.unit and not at.step.is_inside(torque.value):
            yield findings.error(
                (*path, "value"),
                f"{write_number(torque.value)} {torque.unit} lies outside the limits of this step",
                "Write the figure of the source in both places",
            )


def _no_torque(findings: Findings, path: Path, torque: Torque) -> Iterator[Problem]:
    """Yield the figures of `torque` that nothing can be tightened by."""
    if torque.value is not None and torque.value <= 0:
        what = f"{write_number(torque.value)} {torque.unit} tightens nothing"
        yield findings.error((*path, "value"), what, "Write a torque above 0")
    if torque.plus_minus is not None and torque.plus_minus < 0:
        yield _below_zero(findings, (*path, "plus-minus"), "plus-minus")
    elif torque.plus_minus is not None and torque.value is None:
        what = "plus-minus: stands here without the torque that it belongs to"
        yield findings.error((*path, "plus-minus"), what, "Write value: and unit:, or delete it")


def _numbers(findings: Findings, at: StepAt) -> Iterator[Problem]:
    """Yield numbers and units that no answer to the step can have."""
    step = at.step
    if isinstance(step, Measure) and step.agree_within is not None and step.agree_within < 0:
        yield _below_zero(findings, (*at.path, "agree-within"), "agree-within")
    if isinstance(step, Record) and step.unit is not None and step.takes != "number":
        what = f"unit: needs a record of a number, and this one takes {step.takes}"
        yield findings.error((*at.path, "unit"), what, "Write takes: number, or delete unit:")


def _below_zero(findings: Findings, path: Path, word: str) -> Problem:
    return findings.error(path, f"{word}: cannot be below 0", "Write how far it may lie apart")


def _sources(findings: Findings, at: StepAt) -> Iterator[Problem]:
    if isinstance(at.step, Measure) and at.step.instrument is None:
        yield findings.warning(
            (*at.path, "measure"),
            "This measurement does not say what it is read from",
            "Write instrument: and the tool",
        )
    if isinstance(at.step, Wait) and at.step.lasts is not None and at.step.source is None:
        yield findings.warning(
            (*at.path, "lasts"),
            "The length of this wait has no source",
            "Write source:, or leave lasts: out, so that it is asked for with its source",
        )


def _compared(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each step about differences with no condition sheet before it."""
    sheet = False
    for at in steps_at(findings.procedure):
        sheet = sheet or (isinstance(at.step, Inspect) and at.step.compares is None)
        if isinstance(at.step, Do) and at.step.each == "differences" and not sheet:
            yield findings.error(
                (*at.path, "each"),
                "No condition sheet comes before this step, so nothing can be compared",
                "Put an inspect: with its lines before it",
            )
