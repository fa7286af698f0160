"""What was measured and worked out: each reading with its limits and its instrument."""

from collections.abc import Iterator

from baycompanion.job.record_parts import AttemptRecord, StepRecord
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source, entry, title

Row = tuple[str, str, str, str, str]


def measured(source: Source) -> Section | None:
    """Return every reading that counts, and the sums worked from them."""
    rows = tuple(_rows(source))
    if not rows:
        return None
    heads = ("Measured", "Reading", "Limits", "Instrument", "By, at")
    return Section("Measured and worked out", table=Table(heads, rows), wide=True)


def _rows(source: Source) -> Iterator[Row]:
    for step, part, answer in source.finished("measure", "sum"):
        if part.verb == "measure":
            yield _reading(source, title(step.text), part, answer)
        else:
            yield _sum(source, title(step.text), answer)


def _reading(source: Source, name: str, part: StepRecord, answer: AttemptRecord) -> Row:
    if answer.reading is None:  # not fitted, or could not test
        told = ": ".join(filter(None, (answer.outcome, answer.words)))
        return name, told, "", "", source.stamp(answer)
    earlier = [each for each in part.attempts[:-1] if each.reading is not None]
    again = f" (first {', '.join(map(entry, earlier))})" if earlier else ""
    verdict = answer.outcome if answer.limits not in (None, "no limits") else ""
    limits = answer.limits or ""
    return (
        name,
        f"{entry(answer)}{again}",
        f"{verdict.upper() if verdict == 'outside' else verdict}: {limits}" if verdict else limits,
        answer.instrument or "",
        source.stamp(answer),
    )


def _sum(source: Source, name: str, answer: AttemptRecord) -> Row:
    details = answer.details or {}
    verdict = answer.outcome if answer.outcome == "good" else answer.outcome.upper()
    return name, details.get("because") or answer.words, verdict, "", source.stamp(answer)
