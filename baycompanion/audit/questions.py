"""All rules that ask about the work itself, job by job in one pass; a new one is hooked in here."""

from collections.abc import Iterator, Mapping
from datetime import datetime

from baycompanion.audit import (
    condition,
    course,
    haste,
    nominal,
    old_revision,
    pacing,
    quick_phases,
    readings,
    second_people,
    staff_rules,
    untested,
)
from baycompanion.audit.figures import Figures
from baycompanion.audit.findings import Finding
from baycompanion.audit.gate_counts import GateCount, GateCounts
from baycompanion.audit.override_rules import Overrides
from baycompanion.audit.played import Played
from baycompanion.audit.tested import FALSE_ALARM, OneTest, told
from baycompanion.store.staff import Member

_KEPT = (
    quick_phases.keep_times,
    untested.keep_untested,
    readings.keep_readings,
    nominal.keep_nominal,
    old_revision.keep_revision,
)
"""What keeps figures of each job, to be compared in the end."""

_ASKED = (
    haste.too_fast,
    haste.bursts,
    pacing.evenly_spaced,
    condition.worse_than_before,
    condition.open_faults,
    condition.missing_photos,
    course.clock_back,
    course.on_paper,
    course.nobody_looked,
    staff_rules.wrong_pins,
    staff_rules.no_mentor,
    second_people.self_witness,
    second_people.own_gate,
)
"""What is asked of each job by itself."""


class Questions:
    """What is asked of the jobs of one shop: of each as it is read, and of all in the end."""

    def __init__(
        self, members: Mapping[str, Member] | None = None, now: datetime | None = None
    ) -> None:
        """Begin before the first job.

        Args:
            members: Everybody in the staff file; without one, nobody is held against it.
            now: The time of the audit; without it, no job under way is too old.
        """
        self._has_pins = any(each.pin and each.active for each in (members or {}).values())
        self._people = staff_rules.People(members)
        self._now = now
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
        self._people.take(job)
        for keep in _KEPT:
            keep(job, self._figures)
        for ask in _ASKED:
            yield from ask(job)
        yield from course.left_open(job, self._now)
        yield from second_people.without_pin(job, self._has_pins)

    def of_all(self) -> Iterator[Finding]:
        """Yield what is asked once all jobs have been read, gates before people."""
        yield from self._gates.often_overridden()
        yield from quick_phases.fast_phases(self._figures)
        yield from old_revision.old_revisions(self._figures)
        yield from self._overrides.findings(self._gates)
        yield from self._tested()
        yield from self._people.findings()

    def _tested(self) -> Iterator[Finding]:
        """Yield what tests find, all of them corrected together for how many they are."""
        could_be: list[OneTest] = []
        tests = 0
        for rule in (
            untested.untested,
            readings.near_limit,
            readings.repeated,
            nominal.all_nominal,
        ):
            for tested in rule(self._figures):
                tests += 1
                if tested.chance <= FALSE_ALARM:
                    could_be.append(tested)
        yield from told(could_be, tests - len(could_be))
