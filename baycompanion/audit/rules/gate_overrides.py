"""Gates that are overridden often, or more and more, and what was decided about them already."""

from array import array
from bisect import bisect
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.figures import Figure, Figures, TakesFigures
from baycompanion.audit.rules.gate_counts import GateCount, GateCounts
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.tested import OneTest
from baycompanion.job.events.kinds import GateHeld, GateOpened, Overridden
from baycompanion.job.events.moment import milliseconds
from baycompanion.spread.rising import rising
from baycompanion.spread.shares import wilson
from baycompanion.spread.silence import Silence
from baycompanion.store.review import Decision, Gate

OFTEN_OVERRIDDEN = Rule("gate-often-overridden", "serious")
MORE_AND_MORE = Rule("gate-overridden-more-and-more", "serious")

OFTEN = 0.1
"""The share of jobs from which on an override is no exception any more. Own choice: a gate that
one job in ten cannot meet does not fit the work."""

FEWEST_JOBS = 10
"""The fewest jobs at a gate to judge it by. Own choice: of fewer, one override could be enough."""

KIND = "gate reached"

ABOUT_DECISION = " · after line "
"""In what a finding is about: which line of the review it goes on after."""

_ASK = (
    "This is about the procedure and not about people: mend the gate, train, or accept it until a "
    "day. Which, and who writes it down?"
)


def keep_gates(job: Played, figures: TakesFigures) -> None:
    """Keep when `job` came to each of its gates, and its overrides there."""
    reached: dict[str, int] = {}
    overridden: dict[str, list[int]] = {}
    for event in job.events:
        if isinstance(event.data, GateHeld | GateOpened):
            reached.setdefault(event.data.gate, event.milliseconds)
        if isinstance(event.data, Overridden):
            overridden.setdefault(event.data.gate, []).append(event.seq)
    procedure, revision = job.follows
    for gate, when in reached.items():
        if gate in job.procedure.all_gates:
            seen = tuple(overridden.get(gate, ()))
            figure = Figure(job.name, job.state.technician, seen, when)
            figures.add(KIND, (procedure, str(revision), gate), figure)


Reached: TypeAlias = "array[int]"
"""When each job came to a gate, in order: twice the milliseconds since 1970, UTC, and 1 more where
it was overridden. A number for each job, since a shop may have 100,000."""


def _reached(jobs: Iterable[Figure]) -> Reached:
    return array("q", sorted(2 * int(job.value) + bool(job.events) for job in jobs))


@dataclass(frozen=True, slots=True)
class Rulings:
    """What was decided about the gates of a shop, as it stands on the day of an audit."""

    decisions: Mapping[Gate, Sequence[Decision]] = field(default_factory=dict)
    day: str = ""
    """Like 2026-03-02, UTC. Without one, no acceptance is over."""

    def quiet(self, gate: Gate) -> bool:
        """Return whether nothing is asked about `gate`: it is accepted until a day to come."""
        newest = self._newest(gate)
        return newest is not None and newest.holds_on(self.day)

    def counted(self, gate: Gate, jobs: Reached) -> Reached:
        """Return which of `jobs` count: to mend or to train begins the count anew."""
        newest = self._newest(gate)
        if newest is None or newest.course == "accept-until":
            return jobs
        return _since(newest, jobs)

    def told(self, gate: Gate, jobs: Reached) -> str:
        """Return what was decided about `gate`, and that it went on; nothing without a decision."""
        newest = self._newest(gate)
        if newest is None:
            return ""
        since = _since(newest, jobs)
        over = " That day has passed." if newest.course == "accept-until" else " It went on."
        return (
            f"{newest.told}{over} Since then the gate was overridden in {_overridden(since)} of "
            f"{len(since)} jobs. "
        )

    def about(self, count: GateCount) -> str:
        """Return what a finding is about; after a decision it is a new question."""
        newest = self._newest(_gate(count))
        return f"{count.names}{ABOUT_DECISION}{newest.seq}" if newest else count.names

    def _newest(self, gate: Gate) -> Decision | None:
        decisions = self.decisions.get(gate)
        return decisions[-1] if decisions else None


def _since(decision: Decision, jobs: Reached) -> Reached:
    return jobs[bisect(jobs, 2 * milliseconds(decision.at) + 1) :]


def _overridden(jobs: Reached) -> int:
    return sum(each & 1 for each in jobs)


def _gate(count: GateCount) -> Gate:
    return count.procedure, count.revision, count.gate


@dataclass(frozen=True, slots=True)
class _Asked:
    """A gate about which something may be asked, and the jobs that count."""

    count: GateCount
    jobs: Reached
    told: str
    about: str


def _asked(figures: Figures, gates: GateCounts, rulings: Rulings) -> Iterator[_Asked]:
    for (procedure, revision, gate), all_jobs in figures.groups(KIND):
        key = (procedure, int(revision), gate)
        if not rulings.quiet(key):
            jobs = _reached(all_jobs)
            counted, count = rulings.counted(key, jobs), gates.of(*key)
            yield _Asked(count, counted, rulings.told(key, jobs), rulings.about(count))


def often_overridden(figures: Figures, gates: GateCounts, rulings: Rulings) -> Iterator[Finding]:
    """Yield the gates whose overrides say something about the procedure."""
    for asked in _asked(figures, gates, rulings):
        reached, overridden = len(asked.jobs), _overridden(asked.jobs)
        if reached < FEWEST_JOBS:
            continue
        share = wilson(overridden, reached)
        if share.lower > OFTEN:
            reasons = ", ".join(
                f"“{why}” {often}" for why, often in asked.count.reasons.most_common(3)
            )
            yield Finding(
                OFTEN_OVERRIDDEN,
                f"{asked.told}The gate {asked.count.names}, was overridden in {overridden} of the "
                f"{reached} jobs that reached it; the share lies between "
                f"{share.lower:.0%} and {share.upper:.0%} (Wilson interval, 95 %), above the "
                f"{OFTEN:.0%} from which this is asked. Reasons: {reasons}. {_ASK}",
                about=asked.about,
            )


def more_and_more(figures: Figures, gates: GateCounts, rulings: Rulings) -> Iterator[OneTest]:
    """Yield a test of each gate: whether the jobs that overrode it are the newer ones."""
    for asked in _asked(figures, gates, rulings):
        found = rising([bool(each & 1) for each in asked.jobs])
        if isinstance(found, Silence):
            continue
        sentence = (
            f"{asked.told}The gate {asked.count.names}, is overridden more and more: in "
            f"{found.older} of the older {found.older_of} jobs that reached it, and in "
            f"{found.newer} of the newer {found.newer_of}. {_ASK}"
        )
        finding = Finding(MORE_AND_MORE, sentence, about=asked.about)
        yield OneTest(found.chance, "Exact rank test on the order of these jobs", finding)
