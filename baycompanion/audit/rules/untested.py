"""Jobs in which more could not be tested than in the others that followed the same procedure."""

from collections.abc import Iterator

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.figures import Figure, Figures, TakesFigures
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.tested import OneTest
from baycompanion.job.events.kinds import Ticked
from baycompanion.procedure.steps import Check, Inspect
from baycompanion.spread.dealing import at_least_dealt

UNTESTED = Rule("could-not-test-more-than-usual", "minor")

FEWEST_JOBS = 10
"""The fewest other jobs of the same procedure to compare with. Own choice: of fewer, nobody knows
what is usual."""

KIND = "could not test"
NOT_TESTED = "could not test"


def keep_untested(job: Played, figures: TakesFigures) -> None:
    """Keep how many checks and lines of a closed job were answered, and which without a test."""
    if not job.closed:
        return
    answered = list(_answers(job))
    seen = tuple(sorted(event for event, outcome in answered if outcome == NOT_TESTED))
    if answered:
        figure = Figure(job.name, job.state.technician, seen, len(answered))
        figures.add(KIND, job.follows[:1], figure)


def untested(figures: Figures) -> Iterator[OneTest]:
    """Yield a test of each job that has a share of its own above that of the others."""
    for (procedure,), jobs in figures.groups(KIND):
        others = len(jobs) - 1
        if others < FEWEST_JOBS:
            continue
        asked = sum(int(each.value) for each in jobs)
        bare = sum(len(each.events) for each in jobs)
        for each in jobs:
            own, count = int(each.value), len(each.events)
            if not count:
                yield OneTest(1.0, "", Finding(UNTESTED, ""))
                continue
            chance = at_least_dealt(count, own, bare, asked)
            sentence = (
                f"Here {count} of {own} checks and lines could not be tested, in the other "
                f"{others} jobs of {procedure} {bare - count} of {asked - own}. What was "
                "in the way, and has it been tested since?"
            )
            finding = Finding(UNTESTED, sentence, each.job, events=each.events, about=procedure)
            yield OneTest(chance, "Fisher's exact test against the other jobs", finding)


def _answers(job: Played) -> Iterator[tuple[int, str]]:
    """Yield event and outcome of each check, and of each line of the condition sheets."""
    ticked = {(data.step, data.item): event.seq for event, data in job.all_of(Ticked)}
    for step in job.procedure.steps.values():
        track = job.state.track(step.id)
        if isinstance(step, Check) and track.finished:
            yield track.attempts[-1].seq, track.attempts[-1].answer.outcome
        if isinstance(step, Inspect) and job.procedure.looks_for(step) == "function":
            for item, tick in track.ticks.items():
                yield ticked[step.id, item], tick.answer.outcome
