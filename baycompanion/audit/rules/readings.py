"""Readings that repeat to the last digit, or sit just inside their limit, more often than chance.

One reading of each job counts, the first one taken there: later ones hang on it.
"""

from collections import deque
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from sys import intern

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.figures import Figure, Figures, TakesFigures
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.tested import OneTest
from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.steps import Measure
from baycompanion.spread.near_limit import Limit, crowding
from baycompanion.spread.repeats import unlike_others
from baycompanion.spread.silence import Silence

REPEATS = Rule("readings-repeat", "minor", people=True)
NEAR_LIMIT = Rule("readings-just-inside-limit", "minor")

DIGITS = 3
"""How many last digits of the instrument wide the bands at a limit are: 0.3 where it shows 0.1.
Own choice: narrow enough for readings that were helped, wide enough to be more than one value."""

READ, LIMITED = "reading", "reading at a limit"


def keep_readings(job: Played, figures: TakesFigures) -> None:
    """Keep the first reading of each measured step of `job`."""
    seen: set[str] = set()
    for event, data in job.all_of(Answered):
        step = job.procedure.steps.get(data.step)
        if data.number is None or data.step in seen or not isinstance(step, Measure):
            continue
        seen.add(data.step)
        figure = Figure(job.name, event.by, (event.seq,), data.number)
        place = (job.follows[0], step.id, step.unit)
        figures.add(READ, place, figure)
        limits: dict[Limit, Decimal | None] = {"at least": step.at_least, "at most": step.at_most}
        for kind, limit in limits.items():
            if limit is not None:
                figures.add(LIMITED, (*place, kind, str(limit)), figure)


def repeated(figures: Figures) -> Iterator[OneTest]:
    """Yield a test for each person at each step: whether a reading repeats unlike the others'."""
    for (procedure, step, unit), readings in figures.groups(READ):
        values: dict[str, list[str]] = {}
        for each in readings:
            values.setdefault(each.by, []).append(intern(str(each.value)))  # few, and many alike
        for person, own in sorted(values.items()):
            others = [value for by, some in values.items() if by != person for value in some]
            found = unlike_others(own, others)
            if isinstance(found, Silence):
                continue
            newest = deque((e for e in readings if (e.by, e.value) == (person, found.reading)), 1)
            sentence = (
                f"At the step {step} of {procedure}, {found.count} of the {found.of} first "
                f"readings by {person} are {found.reading} {unit} to the last digit; the "
                f"{len(others)} of other people at this step repeat otherwise. The newest is "
                "named. Is it an instrument of one's own, other work, or was it not read?"
            )
            about = f"{person} at {step} of {procedure}, {found.reading} {unit}"
            job, events = newest[0].job, newest[0].events
            finding = Finding(REPEATS, sentence, job, events=events, about=about)
            yield OneTest(found.chance, "Fisher's exact test against the others", finding)


def near_limit(figures: Figures) -> Iterator[OneTest]:
    """Yield a test for each limit of each step: whether readings crowd just inside it."""
    for (procedure, step, unit, kind, limit), readings in figures.groups(LIMITED):
        exact = cache(Decimal)  # few, and many alike
        values = [exact(str(each.value)) for each in readings]
        width = DIGITS * _last_digit(values)
        side: Limit = "at most" if kind == "at most" else "at least"
        found = crowding(values, Decimal(limit), side, width)
        if isinstance(found, Silence):
            continue
        sentence = (
            f"At the step {step} of {procedure}, {found.inside} of {len(values)} first readings "
            f"lie within {width} {unit} inside the limit of {kind} {limit} {unit}, "
            f"{found.further_in} in the next {width} and {found.outside} as near outside. Does "
            "the work end there by itself, is the limit too tight, or were readings helped?"
        )
        about = f"{step} of {procedure}, {kind} {limit} {unit}"
        finding = Finding(NEAR_LIMIT, sentence, about=about)
        yield OneTest(found.chance, "Binomial test against both bands beside it", finding)


def _last_digit(values: list[Decimal]) -> Decimal:
    """Return one step of the last digit that most of the readings were typed with."""
    places = [value.as_tuple().exponent for value in values]
    return Decimal(1).scaleb(int(max(sorted(set(places)), key=places.count)))
