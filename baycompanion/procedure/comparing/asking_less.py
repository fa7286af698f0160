"""In what a step asks for less than before: wider limits, fewer lines, a lesser second person."""

from collections.abc import Iterator
from decimal import Decimal

from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import (
    Count,
    Do,
    Inspect,
    Measure,
    Record,
    Step,
    Sum,
    Wait,
    Witness,
)
from baycompanion.text.duration import write_duration
from baycompanion.text.reading import write_number

Less = tuple[str, str, str]
"""What it is about, what stood there, and what stands there now."""


def asks_less(old: Procedure, new: Procedure, name: str) -> Iterator[Less]:
    """Yield everything for which the step called `name` asks less in `new`, or by another verb."""
    was, now = old.steps[name], new.steps[name]
    if was.verb != now.verb:
        yield "verb", was.verb, now.verb
        return
    yield from _fewer_lines(old, new, was, now)
    match was, now:
        case Measure(), Measure():
            yield from _wider(was, now)
        case Witness(), Witness():
            yield from _lesser_witness(was, now)
        case Wait(), Wait():
            if was.lasts is not None and (now.lasts is None or now.lasts < was.lasts):
                shorter = write_duration(now.lasts) if now.lasts is not None else "asked for"
                yield "time", write_duration(was.lasts), shorter
            if was.since != now.since:
                yield "since", was.since or "", now.since or ""
        case Record(), Record():
            if now.may_be_empty and not was.may_be_empty:
                yield "may be empty", "no", "yes"
            if was.repeats != now.repeats and was.repeats is not None:
                yield "repeats", was.repeats, now.repeats or ""
            if was.takes != now.takes:
                yield "takes", was.takes, now.takes
        case Sum(), Sum():
            if was.of != now.of:
                yield "sum", was.of, now.of
    if was.photo == "required" and now.photo != "required":
        yield "photo", "required", now.photo or ""
    if isinstance(was, Do) and isinstance(now, Do) and was.borrows and not now.borrows:
        yield "register of borrowed circuits", was.borrows, ""


def _wider(was: Measure, now: Measure) -> Iterator[Less]:
    if was.unit != now.unit:
        yield "unit", was.unit, now.unit
    if was.at_least is not None and (now.at_least is None or now.at_least < was.at_least):
        yield "at least", _number(was.at_least, was.unit), _number(now.at_least, now.unit)
    if was.at_most is not None and (now.at_most is None or now.at_most > was.at_most):
        yield "at most", _number(was.at_most, was.unit), _number(now.at_most, now.unit)
    if was.agree_within is not None and (
        now.agree_within is None or now.agree_within > was.agree_within
    ):
        yield (
            "agree within",
            _number(was.agree_within, was.unit),
            _number(now.agree_within, now.unit),
        )


def _number(number: Decimal | None, unit: str) -> str:
    return f"{write_number(number)} {unit}" if number is not None else ""


def _lesser_witness(was: Witness, now: Witness) -> Iterator[Less]:
    left_out = [step for step in was.of if step not in now.of]
    if left_out:
        yield "verifies", ", ".join(left_out), ""
    if was.role == "supervisor" and now.role != "supervisor":
        yield "role", was.role, now.role
    if was.manner != now.manner:
        yield "manner", was.manner, now.manner
    if now.provisional is not None and was.provisional is None:
        yield "may stand in for a second person", "", now.provisional


def _fewer_lines(old: Procedure, new: Procedure, was: Step, now: Step) -> Iterator[Less]:
    """Yield the lines that are gone, or belong to fewer jobs than before."""
    if not isinstance(was, Count | Inspect | Do):
        return
    lines = {item.item: item for item in new.items_of(now)}
    for item in old.items_of(was):
        here = lines.get(item.item)
        if here is None:
            yield "lines", item.name, ""
        elif (item.when, item.unless) != (here.when, here.unless) and (here.when or here.unless):
            yield "lines", item.name, f"{here.name}, only on some vehicles"
