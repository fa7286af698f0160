"""What one job gives to an audit: a plain value that is worked out once and can be kept as JSON.

It knows nothing of the day of the audit, of the staff file, or of what an audit is narrowed to:
what hangs on those is asked of the facts when they are taken.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.work_facts import WorkFacts


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
