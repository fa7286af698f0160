"""Rows of invented jobs for the flat tables, made from a seed: procedures, gates and people."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from baycompanion.audit.rules.rows import JobRows, Row
from baycompanion.audit.tables.table_folders import RowFiles, TablesFolder, write_mark
from baycompanion.job.events.moment import write_moment

PROCEDURES = {"receiver": ("take-in", "bench", "refit", "keys-back"), "camera": ("fit", "test")}
GATES = {"receiver": ("safe", "sound", "tray-empty"), "camera": ("safe", "picture")}
REASONS = ("measured another way", "the owner waits", "part on order")
ODD_NAME = "a b[1]{x}%20ü,’'c"
"""A name for a folder in which many signs mean something to one engine or the other."""

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
    weights = {
        "gate-overridden": "serious",
        "not-on-staff": "minor",
        "ledger-torn": "minor",
        "trainee-without-mentor": "serious",
    }
    found = ["gate-overridden" for _ in rows["overrides"]]
    found += [rule for rule in weights if chance.random() < 0.01]
    for rule in found:
        yield {
            "job": None if rule == "ledger-torn" else rows["jobs"][0]["job"],
            "rule": rule,
            "weight": weights[rule],
            "people": rule in ("not-on-staff", "trainee-without-mentor"),
            "evidence": "event 11",
            "sentence": "Invented. Why?",
        }


def invented_tables(folder: Path, jobs: int, shops: Sequence[str], seed: int = 1) -> TablesFolder:
    """Make a folder of tables with so many jobs, dealt out to `shops` one after another."""
    folder.mkdir(parents=True)
    chance = Random(seed)
    with RowFiles(folder) as files:
        for place, shop in enumerate(shops):
            files.begin_shop(shop)
            for number in range(place, jobs, len(shops)):
                rows = invented_job(number, chance)
                files.add_job(rows)
                for finding in invented_findings(rows, chance):
                    files.add("findings", finding)
    made = TablesFolder(folder, "ndjson", tuple(shops))
    write_mark(made, files.rows)
    return made
