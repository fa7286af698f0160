"""Who worked on the job and what each sign-off means, and how long the work took."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source, number
from baycompanion.text.duration import rough_duration


def people(source: Source) -> Section:
    """Return a row for each person: what they did, checked and released, and the times."""
    return Section(
        "Who signed for what",
        says=(_times(source),),
        table=Table(("Staff id", "Did", "Checked", "Released for now", "Allowed"), _rows(source)),
        wide=True,
    )


def _rows(source: Source) -> tuple[tuple[str, ...], ...]:
    signed: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for part in source.record.steps:
        for attempt in part.attempts:
            signed[attempt.by][attempt.meaning] += 1
    for override in source.record.overrides:
        signed[override.by]["allowed"] += 1
    words = ("did", "checked", "released")
    return tuple(
        (name, *(_count(signed[name][word], "step") for word in words), _allowed(signed[name]))
        for name in source.record.people
    )


def _allowed(signed: Counter[str]) -> str:
    return _count(signed["allowed"], "override")


def _count(count: int, noun: str) -> str:
    return number(count, noun) if count else "–"


def _times(source: Source) -> str:
    return " ".join(_said(source))


def _said(source: Source) -> Iterator[str]:
    record = source.record
    worked = sum(phase.worked_seconds for phase in record.phases)
    paused = sum(phase.paused_seconds for phase in record.phases)
    yield f"Keys in {source.keys_in:%Y-%m-%d %H:%M}"
    if record.ended_at is not None:
        word = "keys back" if record.status == "closed" else "given up"
        yield f"– {word} {source.moment(record.ended_at)}"
    yield f"– worked {rough_duration(worked)}"
    if paused:
        yield f"– paused {rough_duration(paused)}"
    yield "–"
    yield f"times without a day are of {source.keys_in:%Y-%m-%d}, {source.keys_in:UTC%z}."
