"""Sums that a step works: whether they exist, and whether what they are given fits."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from pydantic import ValidationError

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.paths import all_apply, with_phase
from baycompanion.procedure.steps import Choose, Sum, SumInput
from baycompanion.procedure.walk import Path, steps_at
from baycompanion.text.problem import Problem, nearest, quoted
from baycompanion.trade.figures import FROM_SHOP
from baycompanion.trade.kind import Input, SumKind
from baycompanion.trade.model import wrong_way
from baycompanion.trade.units import converted, is_own, unit_of

Sums = Mapping[str, SumKind]
"""The sums of the trade by name."""


def check_sums(findings: Findings, sums: Sums) -> Iterator[Problem]:
    """Yield a problem for each sum that would be refused when the step is reached."""
    for at in steps_at(findings.procedure):
        if not isinstance(at.step, Sum):
            continue
        if at.step.of in sums:
            yield from _inputs(findings, at.path, at.step, sums[at.step.of])
        else:
            what = f"There is no sum {quoted(at.step.of)}"
            yield findings.error((*at.path, "of"), what, nearest(at.step.of, sums))


def _inputs(findings: Findings, path: Path, step: Sum, kind: SumKind) -> Iterator[Problem]:
    known = {each.name: each for each in kind.inputs}
    for name, value in step.inputs.items():
        here = (*path, "inputs", name)
        if name not in known:
            what = f"{quoted(name)} is no input of {kind.name}"
            yield findings.error_at_key(here, what, nearest(name, known))
        elif isinstance(value, str) and not _fits(kind, known[name], value):
            what = f"{name} cannot be {quoted(value)}"
            yield findings.error(here, what, f"Write {known[name].takes}")
        elif isinstance(value, SumInput):
            yield from _units(findings, here, known[name], value.answer)
            yield from _answers(findings, here, kind, known[name], step, value.answer)
    for each in kind.inputs:
        if each.required and each.name not in step.inputs:
            what = f"{kind.name} needs {each.name}"
            instead = f"Write {each.name}: and its value, or answer: and the step that gives it"
            yield findings.error_at_key((*path, "inputs"), what, instead)
    # Without any way taken, the shop's own settings may give one.
    by_shop = {name for way in kind.one_of for name in way} & set(FROM_SHOP)
    taken = any(name in step.inputs for way in kind.one_of for name in way)
    wrong = wrong_way(kind.one_of, step.inputs) if taken or not by_shop else ""
    if wrong:
        what, _, instead = wrong.rstrip(".").partition(": ")
        yield findings.error_at_key((*path, "inputs"), f"{kind.name}: {what}", instead.capitalize())


def _units(findings: Findings, path: Path, each: Input, step: str) -> Iterator[Problem]:
    """Yield an answer whose unit measures something else than what the sum takes it for."""
    unit = getattr(findings.procedure.steps.get(step), "unit", None)
    own = unit_of(each.name)
    if unit is None or own is None or is_own(unit, own):
        return
    try:
        converted(Decimal(1), unit, own, each.name)
    except (LookupError, ValueError):
        what = f"{each.name} is taken in {each.unit}, and {quoted(step)} is in {unit}"
        yield findings.error((*path, "answer"), what, f"Take that reading in {each.unit}")


def _answers(
    findings: Findings, path: Path, kind: SumKind, each: Input, by: Sum, name: str
) -> Iterator[Problem]:
    """Yield the first answer to a choice with which `by` is reached and refuses to be worked."""
    procedure = findings.procedure
    choosing = procedure.steps.get(name)
    if not isinstance(choosing, Choose) or choosing.by_lines:
        return
    things = (*with_phase(procedure, by.id), *with_phase(procedure, name))
    ways = [way for way in findings.paths.through(*things) if all_apply(things, way)]
    for choice in procedure.settled_by(choosing):
        for answer in choice.answers:
            reached = any(way.get(choice.choice, answer) == answer for way in ways)
            if reached and not _fits(kind, each, answer):
                what = f"{each.name} cannot be {quoted(answer)}, an answer to {quoted(name)}"
                instead = f"Let each answer be {each.takes}, or leave the sum out there by unless:"
                yield findings.error((*path, "answer"), what, instead)
                return


def _fits(kind: SumKind, each: Input, text: str) -> bool:
    """Return whether `text` alone is a value that `each` accepts."""
    bare = text.strip().removesuffix(each.unit).strip()
    try:
        kind.model.model_validate({each.name: bare.lower() if each.choices else bare})
    except ValidationError as error:
        return not any(
            detail["loc"] == (each.name,) and detail["type"] != "missing"
            for detail in error.errors()
        )
    return True
