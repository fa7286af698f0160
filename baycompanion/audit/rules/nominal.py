"""Readings that nearly all lie exactly in the middle of their limits, unlike those of others.

The middle of both limits counts as nominal. A reading that falls there for everybody (a battery
at 12.6 on a coarse instrument) is no sign, so one person is held against the others, step by step.
"""

from collections.abc import Iterator
from decimal import Decimal

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.figures import Figure, Figures, Group, TakesFigures
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.tested import OneTest
from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.steps import Measure
from baycompanion.spread.dealing import Dealt, at_least_in_all
from baycompanion.spread.silence import Silence, too_few

NOMINAL = Rule("readings-all-nominal", "minor", people=True)

NEARLY_ALL = 0.9
"""The least share of a person's readings that are exactly nominal. Own choice: one reading in ten
may be honest where the rest were not read."""

FEWEST = 10
"""The fewest readings of one person, and of the others at the same steps."""

READ = "reading beside its nominal"


def keep_nominal(job: Played, figures: TakesFigures) -> None:
    """Keep of the first reading at each step with two limits whether it is exactly nominal."""
    seen: set[str] = set()
    for event, data in job.all_of(Answered):
        step = job.procedure.steps.get(data.step)
        if data.number is None or data.step in seen or not isinstance(step, Measure):
            continue
        seen.add(data.step)
        low, high = step.at_least, step.at_most
        if low is None or high is None or low == high:
            continue
        value = 1.0 if 2 * Decimal(data.number) == low + high else 0.0
        place = (job.follows[0], step.id, str(low), str(high))
        figures.add(READ, place, Figure(job.name, event.by, (event.seq,), value))


def all_nominal(figures: Figures) -> Iterator[OneTest]:
    """Yield a test for each person: whether nearly all their readings are exactly nominal."""
    groups = [readings for _, readings in figures.groups(READ)]
    for person in sorted({each.by for readings in groups for each in readings}):
        compared = [_dealt(readings, person) for readings in groups]
        own = sum(each.drawn for each in compared)
        others = sum(each.total - each.drawn for each in compared if each.drawn)
        if isinstance(too_few(min(own, others), FEWEST), Silence):
            continue
        nominal = [
            each for readings in groups for each in readings if each.by == person and each.value
        ]
        if len(nominal) < NEARLY_ALL * own:
            yield OneTest(1.0, "", Finding(NOMINAL, ""))
            continue
        newest = max(nominal, key=lambda each: each.job)
        sentence = (
            f"{len(nominal)} of the {own} first readings by {person} lie exactly in the middle of "
            f"their limits; the {others} of other people at the same steps do not so often. The "
            "newest job is named. Is it an instrument of one's own, other work, or were they not "
            "read?"
        )
        events = _in_job(nominal, newest.job)
        finding = Finding(NOMINAL, sentence, newest.job, events=events, about=person)
        test = "Fisher's exact test against the others, step by step"
        yield OneTest(at_least_in_all(len(nominal), compared), test, finding)


def _dealt(readings: Group, person: str) -> Dealt:
    """Return how the nominal readings of one step fell to `person`."""
    own = sum(each.by == person for each in readings)
    marked = sum(bool(each.value) for each in readings)
    return Dealt(own, marked, len(readings))


def _in_job(nominal: list[Figure], job: str) -> tuple[int, ...]:
    return tuple(sorted(seq for each in nominal if each.job == job for seq in each.events))
