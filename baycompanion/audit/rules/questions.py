"""All rules that ask about the work itself, job by job in one pass; a new one is hooked in here."""

from collections.abc import Iterator, Mapping, Sequence

import orjson

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules import (
    comebacks,
    condition,
    course,
    gate_overrides,
    haste,
    nominal,
    old_revision,
    pacing,
    quick_phases,
    readings,
    release_rules,
    second_people,
    staff_rules,
    untested,
)
from baycompanion.audit.rules.figures import Figures, FiguresOfJob
from baycompanion.audit.rules.gate_counts import GateCount, GateCounts
from baycompanion.audit.rules.gate_outcomes import gate_outcomes
from baycompanion.audit.rules.gate_overrides import Rulings
from baycompanion.audit.rules.lots import lot_facts
from baycompanion.audit.rules.override_rules import Overrides, overrides_of
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.rows import rows_of
from baycompanion.audit.rules.tested import FALSE_ALARM, OneTest, told
from baycompanion.audit.rules.work_facts import WorkFacts
from baycompanion.store.review import Decision, Gate
from baycompanion.store.staff.staff import Member

_KEPT = (
    gate_overrides.keep_gates,
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
    comebacks.came_back,
    course.clock_back,
    course.on_paper,
    course.stood_open,
    course.nobody_looked,
    staff_rules.wrong_pins,
    second_people.self_witness,
    second_people.own_gate,
)
"""What is asked of each job by itself."""


def ask(job: Played) -> WorkFacts:
    """Return what every rule finds in `job` by itself, and keeps of it for the rules that compare.

    A finding of `findings` is told in any shop; what hangs on the shop is asked of the facts.
    """
    figures = FiguresOfJob()
    for keep in _KEPT:
        keep(job, figures)
    return WorkFacts(
        job=job.name,
        follows=job.follows,
        people=sorted(job.people),
        findings=[finding for rule in _ASKED for finding in rule(job)],
        without_pin=list(second_people.without_pin(job)),
        gates=list(gate_outcomes(job)),
        rows=orjson.dumps(rows_of(job)).decode(),
        overrides=list(overrides_of(job)),
        work=list(staff_rules.work_of_each(job)),
        alone=release_rules.alone(job),
        whose_work=release_rules.whose_work(job),
        figures=figures.all,
        lot=lot_facts(job),
        last_word=course.last_word(job),
    )


class Questions:
    """What is asked of the jobs of one shop: of each as it is read, and of all in the end."""

    def __init__(
        self,
        members: Mapping[str, Member] | None = None,
        day: str = "",
        decisions: Mapping[Gate, Sequence[Decision]] | None = None,
        releases: release_rules.Releases | None = None,
    ) -> None:
        """Begin before the first job.

        Args:
            members: Everybody in the staff file; without one, nobody is held against it.
            day: The day of the audit, like 2026-03-02, in UTC; without it, no acceptance of a gate
                is over.
            decisions: What was decided about the gates of the shop, the newest last.
            releases: What trainees may do alone; without it, nothing.
        """
        self._has_pins = any(each.pin and each.active for each in (members or {}).values())
        self._people = staff_rules.People(members)
        self._releases = releases or release_rules.Releases()
        self._rulings = Rulings(decisions or {}, day)
        self._gates = GateCounts()
        self._overrides = Overrides()
        self._figures = Figures()

    @property
    def gates(self) -> tuple[GateCount, ...]:
        """How each gate fared in the jobs so far."""
        return tuple(self._gates)

    def take(self, job: WorkFacts) -> Iterator[Finding]:
        """Yield what is asked of a job by itself, and keep the counts that all jobs make up."""
        self._gates.take(job.follows, job.gates)
        self._overrides.take(job.job, job.follows, job.people, job.overrides)
        self._people.take(job.job, job.follows[0], job.work)
        self._figures.take(job.job, job.figures)
        yield from job.findings
        yield from self._releases.take(job.job, job.alone, job.whose_work)
        if self._has_pins:
            yield from job.without_pin

    def of_all(self) -> Iterator[Finding]:
        """Yield what is asked once all jobs have been read, gates before people."""
        yield from gate_overrides.often_overridden(self._figures, self._gates, self._rulings)
        yield from quick_phases.fast_phases(self._figures)
        yield from old_revision.old_revisions(self._figures)
        yield from self._overrides.findings(self._gates)
        yield from self._tested()
        yield from self._people.findings()
        yield from self._releases.findings()

    def _tested(self) -> Iterator[Finding]:
        """Yield what tests find, all of them corrected together for how many they are."""
        could_be: list[OneTest] = []
        tests = 0
        for tested in self._tests():
            tests += 1
            if tested.chance <= FALSE_ALARM:
                could_be.append(tested)
        yield from told(could_be, tests - len(could_be))

    def _tests(self) -> Iterator[OneTest]:
        """Yield every test that is made."""
        yield from gate_overrides.more_and_more(self._figures, self._gates, self._rulings)
        for rule in (
            untested.untested,
            readings.near_limit,
            readings.repeated,
            nominal.all_nominal,
        ):
            yield from rule(self._figures)
