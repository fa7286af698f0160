"""All rules that ask about the work itself, job by job in one pass; a new one is hooked in here."""

from collections.abc import Iterator

from baycompanion.audit import condition, haste, phase_times, readings, untested
from baycompanion.audit.figures import Figures
from baycompanion.audit.findings import Finding
from baycompanion.audit.gate_counts import GateCount, GateCounts
from baycompanion.audit.override_rules import Overrides
from baycompanion.audit.played import Played
from baycompanion.audit.tested import FALSE_ALARM, OneTest, told


class Questions:
    """What is asked of the jobs of one shop: of each as it is read, and of all in the end."""

    def __init__(self) -> None:
        """Begin before the first job."""
        self._gates = GateCounts()
        self._overrides = Overrides()
        self._figures = Figures()

    @property
    def gates(self) -> tuple[GateCount, ...]:
        """How each gate fared in the jobs so far."""
        return tuple(self._gates)

    def take(self, job: Played) -> Iterator[Finding]:
        """Yield what is asked of `job` by itself, and keep the counts that all jobs make up."""
        self._gates.take(job)
        self._overrides.take(job)
        phase_times.keep_times(job, self._figures)
        yield from haste.too_fast(job)
        yield from haste.bursts(job)
        untested.keep_untested(job, self._figures)
        readings.keep_readings(job, self._figures)
        yield from condition.worse_than_before(job)
        yield from condition.open_faults(job)
        yield from condition.missing_photos(job)

    def of_all(self) -> Iterator[Finding]:
        """Yield what is asked once all jobs have been read, gates before people."""
        yield from self._gates.often_overridden()
        yield from phase_times.fast_phases(self._figures)
        yield from self._overrides.findings(self._gates)
        yield from self._tested()

    def _tested(self) -> Iterator[Finding]:
        """Yield what tests find, all of them corrected together for how many they are."""
        could_be: list[OneTest] = []
        tests = 0
        for rule in (untested.untested, readings.near_limit, readings.repeated):
            for tested in rule(self._figures):
                tests += 1
                if tested.chance <= FALSE_ALARM:
                    could_be.append(tested)
        yield from told(could_be, tests - len(could_be))
