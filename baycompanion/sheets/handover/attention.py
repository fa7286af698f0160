"""What is not as it should be: skipped, still open, released for now, or left over."""

from collections.abc import Iterator

from baycompanion.job.record.work import FaultRecord, OverrideRecord
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source, number, title
from baycompanion.text.sentence import sentence

EITHER_OR = " — or — "
"""What stands in a gate's words between two things of which one would do."""


def overrides(source: Source) -> Section | None:
    """Return what was skipped: who allowed it, why, and what protects instead."""
    given = source.record.overrides
    if not given:
        return None
    return Section(
        "Skipped with permission",
        table=Table(
            ("What was not as it should be", "Who allowed it", "Why", "What protects instead"),
            tuple(_override(source, each) for each in given),
            (43, 14, 24, 19),
        ),
        weight="alarm",
        wide=True,
    )


def _override(source: Source, override: OverrideRecord) -> tuple[str, ...]:
    gate = source.procedure.all_gates.get(override.gate)
    matters = f"It matters: {gate.because}" if gate is not None else ""
    return (
        " ".join([*(_any_of(source, words) for words in override.missing), matters]).strip(),
        f"{override.by}, {override.role}, {source.moment(override.at)}",
        ": ".join(filter(None, (override.reason, override.words))),
        override.instead,
    )


def _any_of(source: Source, words: str) -> str:
    """Return what a gate was opened without, where one of several things would have done."""
    return " Or: ".join(_without(source, each) for each in words.split(EITHER_OR))


def _without(source: Source, words: str) -> str:
    """Return what a gate was opened without: no number of a step, but what was said at it.

    `24. Every speaker sounds. Failed.` tells an owner as much by `Every speaker sounds. Failed.`
    """
    first, _, rest = words.partition(". ")
    if not first.isdecimal() or not rest:
        return sentence(words)
    told = (
        part.attempts[-1].words
        for part in source.record.steps
        if part.number == int(first) and rest.startswith(part.text) and part.attempts
        if part.id not in source.hidden and not source.is_private(part.id)
    )
    said = next(told, "")
    return f"{sentence(rest)} {sentence(said)}".rstrip()


def still_open(source: Source) -> Section | None:
    """Return the faults that are open, and everything else that is not done as planned."""
    rows = (*_faults(source), *_released(source), *_undone(source), *_over(source))
    if not rows:
        return None
    return Section("Still open", facts=rows, weight="alarm", wide=True)


def _faults(source: Source) -> Iterator[tuple[str, str]]:
    at = {part.fault: title(part.text) for part in source.record.steps if part.fault is not None}
    for fault in source.record.faults:
        if fault.open:
            # A bad outcome put down as a fault has a person's words alone; a line names itself.
            about = at.get(fault.fault) if fault.item is None else None
            yield (
                f"{about}: {fault.words}" if about else fault.words,
                f"{_cause(fault)}, not put right",
            )


def _cause(fault: FaultRecord) -> str:
    return "fault of our work" if fault.cause == "work" else "fault of the vehicle, found before"


def _released(source: Source) -> Iterator[tuple[str, str]]:
    for name in source.record.provisional:
        step = source.procedure.steps.get(name)
        part = source.part(name)
        why = part.attempts[-1].words if part is not None and part.attempts else ""
        if step is not None:
            yield (
                step.text,
                " ".join(["Released for now: a second person is still to look.", why]).strip(),
            )


def _undone(source: Source) -> Iterator[tuple[str, str]]:
    """Yield each step that came out otherwise than planned, and how many were never reached.

    A step whose fault is open stands there by its fault.
    """
    still = {fault.fault: fault.open for fault in source.record.faults}
    for part in source.record.steps:
        if part.state == "done with deviation" and still.get(part.fault or 0, False):
            continue
        apart = part.state == "done with deviation"  # what was overridden stands further up
        if apart and part.attempts and part.id not in (*source.record.provisional, *source.hidden):
            last = part.attempts[-1]
            words = "" if source.is_private(part.id) else last.words or part.lines_undone
            since = "" if part.fault is None else " Put right since."
            said = ": ".join(filter(None, (last.outcome, words)))
            yield part.text, f"{said.rstrip('.')}.{since}" if since else said
        elif part.state in ("in progress", "held") and _bad(source, part.id):
            yield part.text, f"{part.attempts[-1].outcome}: {part.attempts[-1].words}".rstrip(": ")
    if source.record.status == "abandoned":
        left = sum(
            part.state in ("not reached", "held", "in progress") for part in source.record.steps
        )
        yield "The job was given up", f"{number(left, 'step')} not done"


def _bad(source: Source, step: str) -> bool:
    """Return whether the step in hand has an answer that stands, and it is not good."""
    part = source.part(step)
    if part is None or not part.attempts or source.is_private(step):
        return False
    return part.attempts[-1].at >= (part.begun_at or "")


def _over(source: Source) -> Iterator[tuple[str, str]]:
    for load in source.record.loads:
        if load.over:
            yield (
                f"Circuit {load.circuit}",
                f"the work adds {load.added_a} A, over its fuse of {load.fuse_a} A",
            )
