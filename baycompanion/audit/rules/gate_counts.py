"""How each gate fared, revision by revision: the question that comes before any about people."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from baycompanion.audit.rules.gate_outcomes import GateOutcome

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
        count = self._counts.get(key)
        if count is None:
            count = self._counts[key] = GateCount(*key)
        return count

    def take(self, follows: tuple[str, int], outcomes: Iterable[GateOutcome]) -> None:
        """Count what came of the gates in one job, which follows this procedure and revision."""
        for outcome in outcomes:
            self.of(*follows, outcome.gate).add(outcome)
