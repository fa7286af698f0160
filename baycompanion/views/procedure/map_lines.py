"""The map of a procedure as plain lines: each can be read by itself, by eye or aloud."""

from collections.abc import Iterator
from textwrap import wrap

from baycompanion.procedure.mapping import GateRow, PhaseRow, RestRow, Row, StepRow, map_rows
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.said import only_where
from baycompanion.text.counted import counted
from baycompanion.text.duration import write_duration

WIDTH = 80
"""Columns of a line, at most."""
_WORK, _SHUT = "  |   ", "  =   "
"""What stands before a line about steps, and before one about a gate across the way."""


def map_lines(procedure: Procedure) -> tuple[str, ...]:
    """Return the map of `procedure`, from its first phase to its last step."""
    head = (
        f"{procedure.title} ({procedure.procedure}, revision {procedure.revision})",
        f"{counted(len(procedure.phases), 'phase')}, {counted(len(procedure.steps), 'step')}, "
        f"{counted(len(procedure.all_gates), 'gate')}. A line that begins with = is about a gate.",
    )
    rows = map_rows(procedure)
    lines = [line for row in rows for line in _lines(procedure, row)]
    return (*(part for line in head for part in _fold(line, "", "")), *lines, "", "END")


def _lines(procedure: Procedure, row: Row) -> Iterator[str]:
    match row:
        case PhaseRow():
            yield ""
            target = row.phase.target
            parts = [
                f"PHASE {row.number} of {len(procedure.phases)}: {row.phase.title}",
                _numbers(row.first, row.last),
                f"target {write_duration(target)}" if target else "",
                only_where(row.phase),
            ]
            yield from _fold(", ".join(filter(None, parts)), "", "    ")
        case GateRow():
            yield from _gate(row)
        case StepRow():
            words = f"{row.number}. {row.step.text}"
            where = only_where(row.step)
            yield from _fold(f"{words} ({where})" if where else words, _WORK, _WORK + "  ")
            if row.opens:
                yield from _fold(f"opens: {', '.join(row.opens)}", _WORK + "  ", _WORK + "    ")
        case RestRow():
            yield _WORK + _numbers(row.first, row.last)


def _gate(row: GateRow) -> Iterator[str]:
    gate = row.gate
    if row.again:
        yield from _fold(f"GATE {gate.gate} also holds {row.holds}", _SHUT, _SHUT + "  ")
        return
    where = only_where(gate)
    words = f"GATE {gate.gate} holds {row.holds}{f', {where}' if where else ''}"
    yield from _fold(words, _SHUT, _SHUT + "  ")
    for number, until in enumerate(row.until):
        begun = "until" if number == 0 else "and"
        yield from _fold(f"{begun} {until}", _SHUT + "  ", _SHUT + "    ")
    yield from _fold(f"override: {gate.override}", _SHUT + "  ", _SHUT + "    ")


def _numbers(first: int, last: int) -> str:
    return f"step {first}" if first == last else f"steps {first} to {last}"


def _fold(words: str, first: str, later: str) -> list[str]:
    return wrap(words, WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)
