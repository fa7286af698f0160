"""What was measured and worked out: each reading with its limits and its instrument."""

from collections.abc import Iterator

from baycompanion.job.record.work import AttemptRecord, StepRecord
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source, entry, title

Row = tuple[str, str, str, str]

NO_LIMIT = "–"


def measured(source: Source) -> Section | None:
    """Return every reading that counts, and the sums worked from them."""
    rows = tuple(_rows(source))
    if not rows:
        return None
    held = tuple(row for row in rows if row[2] != NO_LIMIT)
    heads = ("Measured", "Reading", "Limits", "Instrument, by, at")
    table = Table(heads, held, (39, 35, 12, 14)) if held else None
    return Section("Measured and worked out", table=table, points=_also(rows), wide=True)


def _also(rows: tuple[Row, ...]) -> tuple[str, ...]:
    """Return the readings without a limit, in one line: a row each would fill half a page."""
    read = [f"{name} {told} ({who})" for name, told, limits, who in rows if limits == NO_LIMIT]
    return (f"Without a limit: {'; '.join(read)}.",) if read else ()


def _rows(source: Source) -> Iterator[Row]:
    for step, part, answer in source.finished("measure", "sum"):
        if part.verb == "measure":
            yield _reading(source, title(step.text), part, answer)
        else:
            yield _sum(source, title(step.text), answer)


def _reading(source: Source, name: str, part: StepRecord, answer: AttemptRecord) -> Row:
    if answer.reading is None:  # not fitted, or could not test
        told = ": ".join(filter(None, (answer.outcome, answer.words)))
        return name, told, "", source.stamp(answer)
    earlier = [each for each in part.attempts[:-1] if each.reading is not None]
    again = f" (first {', '.join(map(entry, earlier))})" if earlier else ""
    inside = "" if answer.outcome == "inside" else f"{answer.outcome.upper()}: "
    return (
        name,
        f"{entry(answer)}{again}",
        NO_LIMIT if answer.limits in (None, "no limits") else f"{inside}{answer.limits}",
        ", ".join(filter(None, (_instrument(source, answer), source.stamp(answer)))),
    )


def _instrument(source: Source, answer: AttemptRecord) -> str | None:
    """Return which instrument was read, and that its calibration was overdue by then.

    The bench asks for the date once. A job that stands over days can outlive it.
    """
    lines = (line for part in source.record.steps for line in part.lines)
    due = max(
        (line.due or "" for line in lines if line.instrument == answer.instrument), default=""
    )
    if due and due < (answer.claimed or answer.at)[:10]:
        return f"{answer.instrument} (calibration due {due}, overdue)"
    return answer.instrument


def _sum(source: Source, name: str, answer: AttemptRecord) -> Row:
    details = answer.details or {}
    verdict = answer.outcome if answer.outcome == "good" else answer.outcome.upper()
    return name, details.get("because") or answer.words, verdict, source.stamp(answer)
