"""The rows of a job: every column of every table, and the same counts as the audit's own."""

import json
from collections import Counter

import pytest
from asked import asked, closed, overridden, played
from bay import Bay

from baycompanion.audit.rules.gate_counts import GateCounts
from baycompanion.audit.rules.gate_outcomes import gate_outcomes
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.rows import JobRows, row_of_finding, rows_of
from baycompanion.audit.tables.columns import FINDINGS, TABLES, Kind, Table
from baycompanion.job.actions import Answer
from baycompanion.job.events.moment import read_moment


@pytest.fixture(scope="module")
def jobs() -> dict[str, Played]:
    """Return jobs of several kinds: closed well, overridden, without an amplifier, under way."""
    without = closed(ask_amplifier=[Answer(answer="ask-amplifier", value="no")])
    bays = {"well": closed(), "overridden": overridden(), "without": without, "begun": Bay()}
    return {name: played(bay, name) for name, bay in bays.items()}


def fits(kind: Kind, value: object) -> bool:
    """Return whether `value` is of the kind that a column says."""
    if kind == "moment":
        return isinstance(value, str) and read_moment(value).tzinfo is not None
    return type(value) is {"text": str, "whole": int, "truth": bool}[kind]


def held_against(table: Table, row: dict[str, object]) -> None:
    """Hold a row, which has no shop yet, against the columns of its table."""
    assert list(row) == [column.name for column in table.columns[1:]], table.name
    for column in table.columns[1:]:
        value = row[column.name]
        assert (value is None and column.may_miss) or fits(column.kind, value), column


def test_every_row_has_the_columns_that_are_stated_each_of_its_kind(
    jobs: dict[str, Played],
) -> None:
    seen: Counter[str] = Counter()
    for job in jobs.values():
        rows: JobRows = rows_of(job)
        assert json.loads(json.dumps(rows)) == rows
        for table in TABLES:
            for row in rows.get(table.name, ()):
                held_against(table, row)
                seen[table.name] += 1
    for finding in asked(jobs.values()):
        held_against(FINDINGS, row_of_finding(finding))
        seen["findings"] += 1
    assert set(seen) == {table.name for table in TABLES}


def test_gates_add_up_to_what_the_audit_counts(jobs: dict[str, Played]) -> None:
    counts, added = GateCounts(), Counter[tuple[str, str]]()
    for job in jobs.values():
        counts.take(job.follows, gate_outcomes(job))
        for row in rows_of(job)["gates"]:
            for column in ("reached", "passed", "overridden", "held"):
                added[row["gate"], column] += row[column]
            added[row["gate"], "not_applicable"] += not row["reached"]
    for gate in counts:
        told = gate.as_dict()
        for column in ("reached", "passed", "overridden", "held", "not_applicable"):
            assert added[gate.gate, column] == told[column], (gate.gate, column)
    assert added["amplifier-checked", "not_applicable"] == 1


def test_an_override_is_a_row_of_its_own_with_who_and_why(jobs: dict[str, Played]) -> None:
    rows = rows_of(jobs["overridden"])
    [event] = [event for event in jobs["overridden"].events if event.kind == "overridden"]
    assert rows["overrides"] == [
        {
            "job": "overridden",
            "procedure": "small-receiver",
            "revision": 3,
            "gate": "sound-before-refit",
            "event": event.seq,
            "overridden_at": event.at,
            "person": "S1",
            "role": "supervisor",
            "reason": "measured another way",
            "with_pin": False,
        }
    ]
    [gate] = [row for row in rows["gates"] if row["gate"] == "sound-before-refit"]
    assert (gate["overridden"], gate["passed"]) == (True, False)
    assert gate["waited_for"] == "24. Every speaker sounds. Failed."
    assert rows["jobs"][0]["clean"] is False


def test_hands_have_every_event_once(jobs: dict[str, Played]) -> None:
    rows = rows_of(jobs["overridden"])
    assert sum(row["events"] for row in rows["hands"]) == rows["jobs"][0]["events"]
    assert [row["person"] for row in rows["hands"]] == ["S1", "T1"]


def test_what_lies_ahead_has_no_row(jobs: dict[str, Played]) -> None:
    rows = rows_of(jobs["begun"])
    assert (rows["gates"], rows["phases"], rows["overrides"]) == ([], [], [])
    assert rows["jobs"][0]["status"] == "open"
    assert rows["jobs"][0]["ended_at"] is None


def test_phases_are_those_of_the_record(jobs: dict[str, Played]) -> None:
    record = closed().record()
    told = [(row["phase"], row["worked_seconds"]) for row in rows_of(jobs["well"])["phases"]]
    assert told == [(phase.phase, phase.worked_seconds) for phase in record.phases]
    [row] = rows_of(jobs["well"])["jobs"]
    assert row["worked_seconds"] == pytest.approx(sum(time for _, time in told), abs=len(told))
