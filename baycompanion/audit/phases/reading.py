"""Going through the closed jobs of shops for the times of their phases; only records are read."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from baycompanion.audit.choice import Choice
from baycompanion.audit.phases.times import PhaseTold, phase_times
from baycompanion.job.record.past_job import PastJob
from baycompanion.store.job.past_times import past_jobs
from baycompanion.store.trouble import StoreTrouble


@dataclass(slots=True)
class PhasesRead:
    """What came of going through the jobs."""

    told: list[PhaseTold] = field(default_factory=list)
    """By shop, procedure and revision, the newest first."""
    jobs: int = 0
    """Closed jobs that were looked at."""
    unread: list[str] = field(default_factory=list)
    """What could not be read, a sentence each."""


def read_phases(
    folders: Iterable[Path], choice: Choice, given_up: Callable[[], bool] = lambda: False
) -> PhasesRead:
    """Return what the times of the closed jobs in these shop folders say.

    `given_up` is asked before each job; what is read by then is told.
    """
    read = PhasesRead()

    def jobs() -> Iterator[tuple[str, PastJob]]:
        for folder in folders:
            for past in past_jobs(folder / "jobs"):
                if given_up():
                    return
                if isinstance(past, StoreTrouble):
                    read.unread.append(str(past))
                elif past is not None and past.whole and choice.takes_past(past):
                    read.jobs += 1
                    yield str(folder), past

    read.told = list(phase_times(jobs()))
    return read
