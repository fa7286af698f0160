"""The rows that one job gives to the flat tables, and the row of a finding: pure, JSON-able."""

from typing import Any

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.gate_outcomes import gate_outcomes
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.kinds import Overridden
from baycompanion.job.state.timing import phase_spans, worked_seconds
from baycompanion.text.clean import clean

Row = dict[str, Any]
"""The values of one row by column, as JSON writes them; a moment as RFC 3339 text."""

JobRows = dict[str, list[Row]]
"""The rows of one job by table, without the shop, which the job does not know."""


def rows_of(job: Played) -> JobRows:
    """Return the rows of `job` for every table but the findings."""
    names: Row = {
        "job": job.name,
        "procedure": job.follows[0],
        "revision": job.follows[1],
    }
    rows = {
        "jobs": [_job(job)],
        "phases": _phases(job),
        "gates": _gates(job),
        "overrides": _overrides(job),
        "hands": _hands(job),
    }
    return {table: [names | row for row in found] for table, found in rows.items()}


def row_of_finding(finding: Finding) -> Row:
    """Return the row of `finding`, without the shop."""
    return {
        "job": finding.job or None,
        "rule": finding.rule.id,
        "weight": finding.rule.weight,
        "people": finding.rule.people,
        "about": finding.about or None,
        "evidence": finding.evidence or None,
        "sentence": clean(finding.sentence),
        "key": finding.key,
        "looked_at_by": finding.looked_at.by if finding.looked_at else None,
    }


def _job(job: Played) -> Row:
    state = job.state
    return {
        "status": state.status,
        "technician": state.technician,
        "mentor": state.mentor,
        "opened_at": state.opened_at,
        "ended_at": state.ended_at,
        "worked_seconds": worked_seconds(state),
        "events": len(job.events),
        "clean": state.clean,
    }


def _phases(job: Played) -> list[Row]:
    return [
        {
            "phase": span.phase,
            "place": place,
            "target_seconds": span.target,
            "worked_seconds": span.worked,
            "paused_seconds": span.paused,
            "begun_at": span.begun_at,
        }
        for place, span in enumerate(phase_spans(job.procedure, job.state), start=1)
        if span.begun_at is not None
    ]


def _gates(job: Played) -> list[Row]:
    places = {name: place for place, name in enumerate(job.procedure.all_gates, start=1)}
    return [
        {
            "gate": outcome.gate,
            "place": places[outcome.gate],
            "reached": outcome.reached,
            "passed": outcome.passed,
            "overridden": outcome.overridden,
            "held": outcome.held,
            "waited_for": "\n".join(outcome.waited_for) or None,
        }
        for outcome in gate_outcomes(job)
    ]


def _overrides(job: Played) -> list[Row]:
    return [
        {
            "gate": data.gate,
            "event": event.seq,
            "overridden_at": event.at,
            "person": event.by,
            "role": data.role,
            "reason": data.reason,
            "with_pin": data.signed is not None,
        }
        for event, data in job.all_of(Overridden)
    ]


def _hands(job: Played) -> list[Row]:
    return [
        {"person": person, "events": sum(event.by == person for event in job.events)}
        for person in sorted(job.people)
    ]
