"""How each gate fared, revision by revision: the question that comes before any about people."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.gate_outcomes import GateOutcome, gate_outcomes
from baycompanion.audit.played import Played
from baycompanion.spread.shares import wilson

OFTEN_OVERRIDDEN = Rule("gate-often-overridden", "serious")

OFTEN = 0.1
"""The share of jobs from which on an override is no exception any more. Own choice: a gate that
one job in ten cannot meet does not fit the work."""

FEWEST_JOBS = 10
"""The fewest jobs at a gate to judge it by. Own choice: of fewer, one override could be enough."""

MOST_CAUSES = 40
"""Different things that a gate is counted to have waited for; the rest is counted as one."""

OTHER = "other things"


@dataclass(slots=True)
class GateCount:
    """In how many jobs one gate of one revision was reached, and how it came to open."""

    procedure: str
    revision: int
    """The one that the job follows in the end."""
    gate: str
    reached: int = 0
    passed: int = 0
    """Jobs in which it stands open by its condition."""
    overridden: int = 0
    """Jobs in which it was opened without its condition at least once."""
    not_applicable: int = 0
    """Closed jobs that it has nothing to do with."""
    held: int = 0
    """Jobs that it held up at least once, whatever came of it."""
    reasons: Counter[str] = field(default_factory=Counter)
    """The reasons of its overrides, each with how often it was given."""
    waited_for: Counter[str] = field(default_factory=Counter)
    """What it waited for while it held, each with the number of jobs."""

    @property
    def names(self) -> str:
        """The gate with its procedure, in words."""
        return f"{self.gate} of {self.procedure}, revision {self.revision}"

    def add(self, outcome: GateOutcome) -> None:
        """Count what came of the gate in one more job."""
        self.reached += outcome.reached
        self.passed += outcome.passed
        self.overridden += outcome.overridden
        self.not_applicable += outcome.not_applicable
        self.held += outcome.held
        self.reasons.update(outcome.reasons)
        for cause in outcome.waited_for:
            room = cause in self.waited_for or len(self.waited_for) < MOST_CAUSES
            self.waited_for[cause if room else OTHER] += 1

    def as_dict(self) -> dict[str, Any]:
        """Return the counts as programs read them."""
        return {
            "procedure": self.procedure,
            "revision": self.revision,
            "gate": self.gate,
            "reached": self.reached,
            "passed": self.passed,
            "overridden": self.overridden,
            "not_applicable": self.not_applicable,
            "held": self.held,
            "reasons": dict(self.reasons.most_common()),
            "waited_for": dict(self.waited_for.most_common()),
        }


class GateCounts:
    """The counts of every gate that jobs came to: small, however many jobs there are."""

    def __init__(self) -> None:
        """Begin with none."""
        self._counts: dict[tuple[str, int, str], GateCount] = {}

    def __iter__(self) -> Iterator[GateCount]:
        """Yield the counts: by procedure and revision, and in the order that jobs came to them."""
        order = {key: place for place, key in enumerate(self._counts)}
        for key in sorted(self._counts, key=lambda key: (*key[:2], order[key])):
            yield self._counts[key]

    def of(self, procedure: str, revision: int, gate: str) -> GateCount:
        """Return the counts of one gate."""
        key = (procedure, revision, gate)
        return self._counts.setdefault(key, GateCount(*key))

    def take(self, job: Played) -> None:
        """Count what happened at the gates of `job`."""
        for outcome in gate_outcomes(job):
            self.of(*job.follows, outcome.gate).add(outcome)

    def often_overridden(self) -> Iterator[Finding]:
        """Yield the gates whose overrides say something about the procedure."""
        for count in self:
            if count.reached < FEWEST_JOBS:
                continue
            share = wilson(count.overridden, count.reached)
            if share.lower > OFTEN:
                reasons = ", ".join(
                    f"“{why}” {often}" for why, often in count.reasons.most_common(3)
                )
                yield Finding(
                    OFTEN_OVERRIDDEN,
                    f"The gate {count.names}, was overridden in {count.overridden} of the "
                    f"{count.reached} jobs that reached it; the share lies between "
                    f"{share.lower:.0%} and {share.upper:.0%} (Wilson interval, 95 %), above the "
                    f"{OFTEN:.0%} from which this is asked. Reasons: {reasons}. This is about the "
                    "procedure and not about people: mend the gate, train, or accept it until a "
                    "day. Which, and who writes it down?",
                )
