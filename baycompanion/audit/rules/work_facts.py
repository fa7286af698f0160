"""What the rules about the work give of one job: plain values, worked out once and kept as JSON."""

from collections.abc import Sequence
from dataclasses import dataclass

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.course import LastWord
from baycompanion.audit.rules.figures import KeptFigure
from baycompanion.audit.rules.gate_outcomes import GateOutcome
from baycompanion.audit.rules.lots import LotFacts
from baycompanion.audit.rules.override_rules import OneOverride
from baycompanion.audit.rules.release_rules import Alone
from baycompanion.audit.rules.staff_rules import OwnWork
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
