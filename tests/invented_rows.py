"""Rows of invented jobs for the flat tables, made from a seed: procedures, gates and people."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from random import Random

from baycompanion.audit.rows import JobRows, Row
from baycompanion.audit.table_folders import RowFiles, TablesFolder
from baycompanion.job.moment import write_moment

PROCEDURES = {"receiver": ("take-in", "bench", "refit", "keys-back"), "camera": ("fit", "test")}
GATES = {"receiver": ("safe", "sound", "tray-empty"), "camera": ("safe", "picture")}
REASONS = ("measured another way", "the owner waits", "part on order")
START = datetime(2026, 1, 5, 8, tzinfo=UTC)


def invented_job(number: int, chance: Random) -> JobRows:
    """Return the rows of one job; some are under way, some given up, some gates overridden."""
    procedure = chance.choice(tuple(PROCEDURES))
    names: Row = {
        "job": f"job-{number:06}",
        "procedure": procedure,
        "revision": chance.choice((1, 2, 2, 3)),
    }
    status = chance.choices(("closed", "open", "paused", "abandoned"), (90, 4, 3, 3))[0]
    technician = f"T{chance.randint(1, 6)}"
    begun = START + timedelta(minutes=11 * number)
    phases = PROCEDURES[procedure][: None if status == "closed" else 1]
    worked = [round(600 * chance.lognormvariate(0, 0.4)) for _ in phases]
    gates = [_gate(gate, place, chance) for place, gate in enumerate(GATES[procedure], start=1)]
    overrides = [
        {
            "gate": gate["gate"],
            "event": 10 + place,
            "overridden_at": write_moment(begun + timedelta(minutes=place)),
            "person": f"S{chance.randint(1, 3)}",
            "role": "supervisor",
            "reason": chance.choice(REASONS),
            "with_pin": chance.random() < 0.8,
        }
        for gate in gates
        for place in range(gate["overridden"] * chance.choice((1, 1, 2)))
    ]
    people = sorted({technician, *(each["person"] for each in overrides)})
    rows: JobRows = {
        "jobs": [
            {
                "status": status,
                "technician": technician,
                "mentor": chance.choice((None, "T1")),
                "opened_at": write_moment(begun),
                "ended_at": write_moment(begun) if status in ("closed", "abandoned") else None,
                "worked_seconds": sum(worked),
                "events": 40,
                "clean": not overrides if status == "closed" else None,
            }
        ],
        "phases": [
            {
                "phase": phase,
                "place": place,
                "target_seconds": chance.choice((600, 600, None)),
                "worked_seconds": seconds,
                "paused_seconds": 0,
                "begun_at": write_moment(begun),
            }
            for place, (phase, seconds) in enumerate(zip(phases, worked, strict=True), start=1)
        ],
        "gates": gates,
        "overrides": overrides,
        "hands": [{"person": person, "events": 20} for person in people],
    }
    return {table: [names | row for row in found] for table, found in rows.items()}


def _gate(gate: str, place: int, chance: Random) -> Row:
    reached = chance.random() < 0.9
    overridden = reached and chance.random() < 0.12
    return {
        "gate": gate,
        "place": place,
        "reached": reached,
        "passed": reached and not overridden,
        "overridden": overridden,
        "held": overridden,
        "waited_for": "1. Every speaker sounds.\nFault 1 is open: it’s “silent”" * overridden
        or None,
    }


def invented_findings(rows: JobRows, chance: Random) -> Iterator[Row]:
    """Yield a finding for each override, now and then one about people, or about the whole shop."""
    weights = {"gate-overridden": "serious", "not-on-staff": "minor", "ledger-torn": "minor"}
    found = ["gate-overridden" for _ in rows["overrides"]]
    found += [rule for rule in weights if chance.random() < 0.01]
    for rule in found:
        yield {
            "job": None if rule == "ledger-torn" else rows["jobs"][0]["job"],
            "rule": rule,
            "weight": weights[rule],
            "people": rule == "not-on-staff",
            "evidence": "event 11",
            "sentence": "Invented. Why?",
        }


def write_invented(files: RowFiles, folder: TablesFolder, jobs: int, seed: int = 1) -> None:
    """Write so many jobs into `files`, dealt out to the shops of `folder` one after another."""
    chance = Random(seed)
    for place, shop in enumerate(folder.shops):
        files.begin_shop(shop)
        for number in range(place, jobs, len(folder.shops)):
            rows = invented_job(number, chance)
            files.add_job(rows)
            for finding in invented_findings(rows, chance):
                files.add("findings", finding)
