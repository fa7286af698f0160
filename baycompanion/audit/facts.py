"""What one job gives to an audit: a plain value that is worked out once and can be kept as JSON.

It knows nothing of the day of the audit, of the staff file, or of what an audit is narrowed to:
what hangs on those is asked of the facts when they are taken.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from baycompanion.audit.course import LastWord
from baycompanion.audit.figures import KeptFigure
from baycompanion.audit.findings import Finding
from baycompanion.audit.gate_outcomes import GateOutcome
from baycompanion.audit.lots import LotFacts
from baycompanion.audit.override_rules import OneOverride
from baycompanion.audit.release_rules import Alone
from baycompanion.audit.staff_rules import OwnWork
from baycompanion.learning.watched import Worked


@dataclass(frozen=True, slots=True)
class WorkFacts:
    """What is asked about the work of one job, and what it adds to the counts of all."""

    job: str
    follows: tuple[str, int]
    """The id and the revision of its procedure."""
    people: Sequence[str]
    """Everybody with an event in it."""
    findings: Sequence[Finding]
    """What is asked of it by itself, in any shop."""
    without_pin: Sequence[Finding]
    """What is asked of it in a shop that has PINs."""
    gates: Sequence[GateOutcome]
    rows: str
    """What it gives to the flat tables, as JSON: only an export reads it."""
    overrides: Sequence[OneOverride]
    work: Sequence[OwnWork]
    alone: Alone | None
    """Where a trainee took the keys with nobody beside them: what they did."""
    whose_work: Worked | None
    """What it tells of whoever gave most answers."""
    figures: Sequence[KeptFigure]
    lot: LotFacts | None
    """Where it is closed: what may be looked at once more on the vehicle."""
    last_word: LastWord | None
    """Where it is under way: the event that everybody waits after."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What an audit is narrowed by."""

    last_at: str
    """The time of the newest event."""
    people: Sequence[str]
    procedure: str
    """The id of the procedure that it began by."""


@dataclass(frozen=True, slots=True)
class JobFacts:
    """All that one job gives to an audit."""

    job: str
    readable: bool
    """Whether there is a journal that could be read, be its chain whole or broken."""
    heading: Heading | None
    """None where the events do not hold together: such a job is told, whatever is looked for."""
    ended: bool
    findings: Sequence[Finding]
    """About its files and its chain, and what the ledger says of it."""
    unread: Sequence[str]
    """What could not be read, a sentence each."""
    enrolled: Sequence[tuple[str, int]]
    """Day and number of the entries that were made when the ledger began."""
    work: WorkFacts | None
    """None where no procedure says what the work should have been."""
