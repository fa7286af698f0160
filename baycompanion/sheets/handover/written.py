"""What was written down on the way: odometer, wishes, fault codes, old parts, and notes."""

from collections.abc import Iterator

from baycompanion.procedure.steps import Record, Step, Sum, SumInput
from baycompanion.sheets.handover.fitted import is_serial
from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.settings import repeated
from baycompanion.sheets.handover.source import Source, entry, title


def written(source: Source) -> Section | None:
    """Return every entry that has no section of its own."""
    facts = (*_entries(source), *_notes(source))
    return Section("Written down", facts=facts, weight="quiet") if facts else None


def _entries(source: Source) -> Iterator[tuple[str, str]]:
    elsewhere = repeated(source) | _in_sums(source)
    for step, part, answer in source.finished("record"):
        if (
            part.id in elsewhere
            or is_serial(step)
            or _is_owner_word(step)
            or source.is_private(part.id)
        ):
            continue
        if answer.outcome != "not done":  # that stands among what is still open
            yield title(step.text), entry(answer)


def _is_owner_word(step: Step) -> bool:
    return isinstance(step, Record) and step.owner_word is not None


def _in_sums(source: Source) -> frozenset[str]:
    """Return the steps whose answers stand in a sum that was worked out, and are told with it."""
    worked = {part.id for _, part, _ in source.finished("sum")}
    return frozenset(
        value.answer
        for step in source.procedure.steps.values()
        if isinstance(step, Sum) and step.id in worked
        for value in step.inputs.values()
        if isinstance(value, SumInput)
    )


def _notes(source: Source) -> Iterator[tuple[str, str]]:
    for note in source.record.notes:
        if not source.is_private(note.step):
            yield f"Note ({note.by}, {source.moment(note.at)})", note.words


def mended(source: Source) -> Section | None:
    """Return the faults that were found and put right."""
    facts = tuple(
        (fault.words.rstrip("."), f"put right by {fault.cleared_by}: {fault.cleared_words}")
        for fault in source.record.faults
        if not fault.open
    )
    return Section("Found and put right", facts=facts) if facts else None
