"""The names in a procedure that must lead to something else in it: where, and to what."""

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from baycompanion.procedure.conditions import NoOpenFault, OnBench, step_named
from baycompanion.procedure.model import Part, Procedure, Tool
from baycompanion.procedure.steps import Choose, Sum, SumInput, Witness
from baycompanion.procedure.walk import Path, StepAt, applying_at, leaves_at, steps_at
from baycompanion.text.to_model import first_key, written

Kind = Literal["step", "phase", "step or phase", "tool", "part", "choice"]


class Reference(NamedTuple):
    """One name, and what it must be the name of."""

    path: Path
    word: str
    """The key it stands under."""
    name: str
    kind: Kind
    by: StepAt | None = None
    """The step that it stands in."""
    is_key: bool = False


_IN_A_STEP: dict[str, Kind] = {
    "tools": "tool",
    "instrument": "tool",
    "serial_of": "part",
    "back_to": "step",
    "repeats": "step",
    "matches": "step",
    "compares": "step",
    "since": "step",
}


def references(procedure: Procedure) -> Iterator[Reference]:
    """Yield every reference in `procedure`, sums and answers to choices apart."""
    for at in steps_at(procedure):
        yield from _of_step(at)
    yield from _of_gates(procedure)
    for applying in applying_at(procedure):
        for word, named in (("when", applying.thing.when), ("unless", applying.thing.unless)):
            for name in named:
                yield Reference((*applying.path, word, name), word, name, "choice", is_key=True)
    needed: dict[str, tuple[Tool | Part, ...]] = {
        "tools": procedure.tools,
        "parts": procedure.parts,
    }
    for key, things in needed.items():
        for place, thing in enumerate(things):
            if thing.by is not None:
                yield Reference((key, place, "by"), "by", thing.by, "phase")
    for place, standing in enumerate(procedure.standing):
        yield Reference(("standing", place, "begins"), "begins", standing.begins, "step")
        yield Reference(("standing", place, "ends"), "ends", standing.ends, "step")


def _of_step(at: StepAt) -> Iterator[Reference]:
    step = at.step
    for field, kind in _IN_A_STEP.items():
        word = written(field)
        for place, name in _listed(getattr(step, field, None)):
            yield Reference((*at.path, word, *place), word, name, kind, at)
    if isinstance(step, Choose):
        for place, name in _listed(step.settles):
            yield Reference((*at.path, "settles", *place), "settles", name, "choice", at)
    if isinstance(step, Sum):
        for name, value in step.inputs.items():
            if isinstance(value, SumInput):
                path = (*at.path, "inputs", name, "answer")
                yield Reference(path, "answer", value.answer, "step", at)
    if isinstance(step, Witness):
        for place, name in _listed(step.of):
            yield Reference((*at.path, "of", *place), "of", name, "step", at)
        if step.provisional is not None:
            path = (*at.path, "provisional")
            yield Reference(path, "provisional", step.provisional, "step", at)


def _of_gates(procedure: Procedure) -> Iterator[Reference]:
    for place, gate in enumerate(procedure.gates):
        here: Path = ("gates", place)
        for below, name in _listed(gate.holds):
            yield Reference((*here, "holds", *below), "holds", name, "step or phase")
        for path, condition in leaves_at(gate.until, (*here, "until")):
            word = first_key(type(condition))
            step = step_named(condition)
            if isinstance(condition, OnBench):
                yield Reference((*path, word), word, condition.on_bench, "phase")
            elif step is not None and not isinstance(condition, NoOpenFault):
                yield Reference((*path, word), word, step, "step")


def _listed(value: str | Iterable[str] | None) -> Iterator[tuple[Path, str]]:
    """Yield each name in `value` with its path below it."""
    if isinstance(value, str):
        yield (), value
    else:
        for place, name in enumerate(value or ()):
            yield (place,), name
