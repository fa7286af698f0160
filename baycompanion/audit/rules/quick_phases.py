"""Phases done in far less time than this shop needs for them, by the spread of its own jobs."""

from collections.abc import Iterator
from math import exp

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.figures import Figure, Figures, TakesFigures
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.kinds import Begun
from baycompanion.spread.logs import logs
from baycompanion.spread.outliers import CUT_OFF, FEWEST, score, spread
from baycompanion.spread.silence import Silence
from baycompanion.text.duration import write_duration

FAST_PHASE = Rule("phase-unusually-fast", "minor")

KIND = "phase time"


def keep_times(job: Played, figures: TakesFigures) -> None:
    """Keep the time worked in each phase of `job`, if it is closed."""
    if not job.closed:
        return
    begun: dict[str, list[int]] = {}
    for event, data in job.all_of(Begun):
        begun.setdefault(data.phase, []).append(event.seq)
    for phase, time in job.state.phases.items():
        if time.worked > 0 and phase in begun:
            seen = (begun[phase][0], begun[phase][-1])
            who = job.state.technician
            figures.add(
                KIND, (job.follows[0], phase), Figure(job.name, who, seen, time.worked / 1000)
            )


def fast_phases(figures: Figures) -> Iterator[Finding]:
    """Yield the phases far below the spread of the others; nothing of fewer than 20 jobs.

    Only what is fast is told: a slow phase is what pauses and faults are for.
    """
    for (procedure, phase), times in figures.groups(KIND):
        values = logs([float(each.value) for each in times])
        around = spread(values, FEWEST)
        if isinstance(around, Silence):
            continue
        for value, each in zip(values, times, strict=True):
            far = score(value, around)
            if far < -CUT_OFF:
                usual, took = (
                    write_duration(max(1, round(exp(x)))) for x in (around.median, value)
                )
                yield Finding(
                    FAST_PHASE,
                    f"The phase {phase} of {procedure} took {took}; half of the {around.values} "
                    f"jobs behind this took {usual} or longer. Its score is {far:.1f}, and below "
                    f"−{CUT_OFF} is told (modified z-score of the logarithm of the time worked); "
                    "honest work comes there too, seldom. What was different in this job?",
                    each.job,
                    events=each.events,
                    about=f"{phase} of {procedure}",
                )
