"""What can be planted at a step: whether it could show there, and is told alike everywhere."""

from collections.abc import Iterator

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.plantable import Plantable
from baycompanion.procedure.steps import Check, Count, Inspect, Measure, Step
from baycompanion.procedure.walk import Path, StepAt, steps_at, sums_of
from baycompanion.text.problem import Problem, nearest, quoted
from baycompanion.text.reading import write_number


def check_faults(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each fault that no practice could plant as it is written."""
    told: dict[str, tuple[Plantable, Path]] = {}
    for at in steps_at(findings.procedure):
        here: set[str] = set()
        for place, fault in enumerate(at.step.faults):
            path = (*at.path, "faults", place)
            if fault.fault in here:
                what = f"{quoted(fault.fault)} stands twice at this step"
                yield findings.error((*path, "fault"), what, "Leave one of the two out")
            here.add(fault.fault)
            yield from _shows(findings, at, fault, path)
            yield from _alike(findings, fault, path, told)


def _alike(
    findings: Findings, fault: Plantable, path: Path, told: dict[str, tuple[Plantable, Path]]
) -> Iterator[Problem]:
    """Yield a fault that has another name or another cause at an earlier step."""
    first, where = told.setdefault(fault.fault, (fault, path))
    place = findings.place(where)
    for key in ("name", "cause"):
        if getattr(first, key) != getattr(fault, key):
            what = f"{quoted(fault.fault)} has another {key} in {place.file}:{place.line}"
            shown = key if key in fault.model_fields_set else "fault"
            yield findings.error((*path, shown), what, f"Write {key}: {getattr(first, key)}")


def _shows(findings: Findings, at: StepAt, fault: Plantable, path: Path) -> Iterator[Problem]:
    step = at.step
    if not isinstance(step, Check | Measure | Count | Inspect):
        what = f"A step to {step.verb} finds nothing wrong"
        instead = "Write faults: at a check, a measure, a count or an inspect"
        yield findings.error((*path, "fault"), what, instead)
        return
    yield from _reading(findings, step, fault, path)
    yield from _line(findings, step, fault, path)
    yield from _in_time(findings, step, fault, path)


def _reading(findings: Findings, step: Step, fault: Plantable, path: Path) -> Iterator[Problem]:
    number = fault.reading
    if not isinstance(step, Measure):
        if number is not None:
            what = f"A step to {step.verb} takes no reading"
            yield findings.error((*path, "reading"), what, "Delete reading: here")
        return
    limited = (step.at_least, step.at_most) != (None, None)
    if not limited and not sums_of(findings.procedure, step):
        what = "This measure has no limits and no sum takes it, so no reading of it is wrong"
        yield findings.error((*path, "fault"), what, "Write limits, or leave faults: out here")
    elif number is None:
        what = "A fault at a measure needs its reading"
        instead = "Write reading: and a number outside the limits"
        yield findings.error((*path, "fault"), what, instead)
    elif limited and step.is_inside(number):
        what = f"{write_number(number)} {step.unit} lies inside the limits of this step"
        yield findings.error((*path, "reading"), what, "Write a number outside them")


def _line(findings: Findings, step: Step, fault: Plantable, path: Path) -> Iterator[Problem]:
    if not isinstance(step, Count | Inspect):
        if fault.line is not None:
            what = f"A step to {step.verb} has no lines"
            yield findings.error((*path, "line"), what, "Delete line: here")
        return
    leads = step.matches if isinstance(step, Count) else step.compares
    if leads and leads not in findings.procedure.steps:
        return  # told already, and its lines are not known
    lines = [item.item for item in findings.procedure.items_of(step)]
    if fault.line is None:
        what = "A fault at a list needs the line that it shows on"
        yield findings.error((*path, "fault"), what, "Write line: and its name")
    elif fault.line not in lines:
        what = f"This list has no line {quoted(fault.line)}"
        yield findings.error((*path, "line"), what, nearest(fault.line, lines))


def _in_time(findings: Findings, step: Step, fault: Plantable, path: Path) -> Iterator[Problem]:
    """Yield what cannot be there yet, or shows by itself."""
    if isinstance(step, Count) and step.matches is None:
        what = "Whatever comes off is right, so nothing is found wrong in this count"
        yield findings.error((*path, "fault"), what, "Write it at the count back")
    elif isinstance(step, Inspect) and step.compares is None and fault.cause == "work":
        what = "A fault of the work cannot show before the work"
        yield findings.error((*path, "fault"), what, "Write cause: vehicle, or the sheet after it")
    elif isinstance(step, Inspect) and step.compares and fault.cause == "vehicle":
        what = "A fault that was there before shows on the sheet after the work by itself"
        yield findings.error((*path, "fault"), what, "Write it at the sheet before the work")
