"""Looking for an ended job of a shop: what was typed, and the jobs that it fits."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from baycompanion.store.job.finding import jobs_that_fit
from baycompanion.store.job.folder import JobListed
from baycompanion.views.board.finding import (
    MOST_FOUND,
    found_line,
    found_more,
    found_title,
    none_fits,
)
from baycompanion.views.board.line import BoardLine


@dataclass(slots=True)
class Finding:
    """One search below `jobs`; nothing is found before something was taken."""

    jobs: Path
    otherwise: str
    """What is said that can be done where none fits."""
    sought: str = ""
    _found: Sequence[JobListed] = ()

    def take(self, sought: str) -> str | None:
        """Look for `sought`; return the sentence that says why nothing was found."""
        fitting = jobs_that_fit(self.jobs, sought)
        if not fitting.ended:
            under_way = [job.opened for job in fitting.under_way]
            return none_fits(sought, under_way, fitting.unread, self.otherwise)
        self.sought, self._found = sought, fitting.ended
        return None

    @property
    def title(self) -> str:
        """How many jobs were found."""
        return found_title(self.sought, len(self._found))

    @property
    def more(self) -> str:
        """What is said of those found that are not shown."""
        return found_more(len(self._found))

    @property
    def lines(self) -> tuple[BoardLine, ...]:
        """A line for each job that is shown, newest first; it opens the folder of that name."""
        return tuple(
            found_line(job.folder.name, job.opened, job.opened_at, job.standing)
            for job in self._found[:MOST_FOUND]
        )
