"""The history of a gate, of a procedure and of a person: lists, and no score."""

import json
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.audit.one_job.folder import read_journal
from baycompanion.audit.review.finding_events import job_folder
from baycompanion.audit.review.reviewing import GateSeen, Reviewing
from baycompanion.audit.walk import JOBS
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Opened, Overridden
from baycompanion.store.job import journal
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Piece
from baycompanion.views.event_words import what_happened

MOST_JOBS = 100
"""Jobs that a person's history tells of."""


def gate_history(reviewing: Reviewing, gate: GateSeen) -> Iterator[Piece]:
    """Yield how a gate fared, revision by revision, and what was decided and said about it."""
    for each in reviewing.gates():
        count = each.count
        if (each.shop, count.procedure, count.gate) != (gate.shop, *gate.key[::2]):
            continue
        yield Piece("label", f"Revision {count.revision}")
        yield Piece("plain", gate_counts_line(each))
        for why, often in count.reasons.most_common():
            yield Piece("plain", f"overridden: {why} ({often})")
        for cause, often in count.waited_for.most_common():
            yield Piece("plain", f"held by: {cause} ({often})")
        for decision in each.decisions:
            yield Piece("notice", decision.told)
        if not each.decisions:
            yield Piece("quiet", "Nothing was decided about it.")
        for finding in reviewing.about_gate(each):
            yield Piece("quiet", finding_line(finding))


def procedure_history(reviewing: Reviewing, finding: Finding) -> Iterator[Piece]:
    """Yield how the gates of the procedure that the job of `finding` follows fared, by revision."""
    folder = job_folder(finding)
    try:
        procedure = _procedure_in(folder) if folder is not None else None
    except StoreTrouble as trouble:
        yield Piece("quiet", str(trouble))
        return
    gates = [each for each in reviewing.gates() if each.shop == finding.shop]
    gates = [each for each in gates if each.count.procedure == procedure]
    if not gates:
        yield Piece("quiet", "No job that can be read came to a gate of its procedure.")
    for revision, some in groupby(gates, key=lambda gate: gate.count.revision):
        yield Piece("label", f"{procedure}, revision {revision}")
        for gate in some:
            yield Piece("plain", f"{gate.count.gate}: {gate_counts_line(gate)}")
            yield from (Piece("notice", decision.told) for decision in gate.decisions)


def _procedure_in(folder: Path) -> str | None:
    """Return by which procedure the job in `folder` began, None where its journal is empty.

    Raises:
        StoreTrouble: The journal cannot be read.
    """
    events = read_journal(JobFiles(folder)).events
    opened = events[0].data if events else None
    return opened.procedure if isinstance(opened, Opened) else None


def gate_counts_line(gate: GateSeen) -> str:
    """Return in how many jobs a gate was reached, and what came of it."""
    count = gate.count
    return (
        f"reached {count.reached}, passed {count.passed}, overridden {count.overridden}, "
        f"held {count.held}, not applicable {count.not_applicable}"
    )


def finding_line(finding: Finding) -> str:
    """Return a finding in one line: rule, job and what it is about, evidence."""
    about = finding.about if finding.about and not finding.job else ""
    parts = (finding.rule.id, finding.job or about or "the whole shop", finding.evidence)
    return " · ".join(part for part in parts if part)


# --- people, last -------------------------------------------------------------------------------


def person_history(reviewing: Reviewing, shop: str, who: str) -> Iterator[Piece]:
    """Yield the jobs of the shop in which `who` did something, and their overrides, newest first.

    Nothing is counted and nothing compared: what a figure about a person says hangs on the jobs
    that they were given. Of very many jobs the newest are told.
    """
    findings: dict[str, list[Finding]] = {}
    for finding in reviewing.findings:
        if finding.shop == shop:
            findings.setdefault(finding.job, []).append(finding)
    told = 0
    for folder in _newest_first(Path(shop) / JOBS):
        events = _events_with(folder, who)
        if events and told == MOST_JOBS:
            yield Piece("quiet", "and older jobs")
            return
        if events:
            told += 1
            yield from _in_job(events, who, findings.get(folder.name, []))


def _newest_first(jobs: Path) -> list[Path]:
    """Return the folders of jobs; their names begin with the day."""
    try:
        return sorted(jobs.iterdir(), reverse=True)
    except OSError:
        return []


def _events_with(folder: Path, who: str) -> tuple[Event, ...]:
    """Return the events of a job in which `who` did something; none of any other."""
    try:
        path = folder / journal.NAME
        wanted = json.dumps({"by": who}, ensure_ascii=False, separators=(",", ":"))[1:-1]
        if not path.exists() or wanted.encode() not in read_bytes(path):
            return ()
        events = read_journal(JobFiles(folder)).events
    except StoreTrouble:
        return ()
    return events if any(event.by == who for event in events) else ()


def _in_job(events: tuple[Event, ...], who: str, findings: list[Finding]) -> Iterator[Piece]:
    own = [event for event in events if event.by == who]
    opened = events[0].data
    assert isinstance(opened, Opened)
    vehicle = f"{opened.work_order} · {opened.vehicle.description}"
    days = " to ".join(dict.fromkeys((own[0].at[:10], own[-1].at[:10])))
    yield Piece("label", f"{days} · {vehicle} · {opened.title}, revision {opened.revision}")
    for event in own:
        if isinstance(event.data, Overridden):
            yield Piece("plain", f"event {event.seq}: {what_happened(event.data, None)}")
    seqs = {event.seq for event in own}
    for finding in findings:
        if seqs & set(finding.events):
            word = "; ".join(finding.told_words) or "Not looked at yet."
            yield Piece("quiet", f"{finding_line(finding)}. {word}")
