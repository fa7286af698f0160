"""Stations and other entries made again after the work, and codes that are kept with the keys."""

from collections.abc import Iterator

from baycompanion.job.deciding.answers import KEPT_PRIVATE
from baycompanion.procedure.steps import Record
from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.source import Source, entry, title


def settings(source: Source) -> Section | None:
    """Return the stations in their order, and whether they are back in it."""
    facts = tuple(_facts(source))
    return Section("Stations and settings", facts=facts) if facts else None


def repeated(source: Source) -> frozenset[str]:
    """Return the steps that are entered again after the work, and those that do it."""
    pairs = [
        (step.id, step.repeats)
        for step in source.procedure.steps.values()
        if isinstance(step, Record) and step.repeats is not None
    ]
    return frozenset(name for pair in pairs for name in pair)


def _facts(source: Source) -> Iterator[tuple[str, str]]:
    together = repeated(source)
    for step, part, answer in source.finished("record"):
        assert isinstance(step, Record)
        if step.private:
            noted = answer.outcome == "recorded"
            yield title(step.text), KEPT_PRIVATE if noted else answer.outcome
        elif part.id in together and step.repeats is None:
            yield title(step.text), entry(answer)
        elif step.repeats is not None:
            yield _again(source, step.repeats, answer.outcome, entry(answer))


def _again(source: Source, first: str, outcome: str, said: str) -> tuple[str, str]:
    label = f"{title(source.procedure.steps[first].text)}, again after the work"
    if source.is_private(first):
        return label, outcome
    same = outcome == "matching"
    return label, "the same, in the same order" if same else f"{outcome.upper()}: {said}"
