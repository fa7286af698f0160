"""The earlier job that the vehicle came back from: what is worse since, and where it comes from."""

from baycompanion.job.events.chain import fingerprint
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import Source


def earlier(source: Source) -> Section | None:
    """Return which job the vehicle came back from, and each difference with its origin."""
    before = source.record.earlier
    if before is None:
        return None
    ended = "closed" if before.status == "closed" else "given up"
    said = (
        f"It came back from work order {before.work_order}, {before.title}, {ended} "
        f"{before.ended_at[:10]}, fingerprint {fingerprint(before.last_hash)}."
    )
    rows = tuple(
        (each.name, each.origin or "nobody has said yet", each.words)
        for each in source.record.differences
    )
    nothing = () if rows else ("Nothing on the condition sheet was worse than when it left.",)
    heads = ("Worse than when it left", "Where it comes from", "What shows it")
    return Section(
        "The earlier job",
        says=(said, *nothing),
        table=Table(heads, rows, (50, 16, 34)) if rows else None,
        wide=True,
    )
