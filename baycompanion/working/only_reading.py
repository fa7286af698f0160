"""A job that can only be read here: open elsewhere, damaged, or on a disk that refuses."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from baycompanion.job.events.moment import later
from baycompanion.job.state.timing import seconds_since_last
from baycompanion.procedure.steps import Step
from baycompanion.store.job.folder import JobRead, read_job_as_far
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.lock import HOLDER, JobHeld
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.card.card import Card
from baycompanion.views.card.cards import job_card, look_card
from baycompanion.views.card.only_read import only_read_card

AS_FAR = "Shown is what comes before that line; nothing can be added to it."
READ = "Here it can only be read."
FREE = "Nobody has this job open any more, so it can be opened here."


class OnlyReading:
    """One job as its journal holds it; nothing is written, and no lock is taken."""

    def __init__(
        self,
        shop: Shop,
        folder: Path,
        trouble: StoreTrouble | BadFile,
        now: Callable[[], datetime],
    ) -> None:
        """Read the job in `folder`, which cannot be opened: `trouble` says why.

        Raises:
            StoreTrouble: Not even the first line of its journal can be read.
            BadFile: The procedure that it follows cannot be read any more.
        """
        self.shop = shop
        self.folder = folder
        self.now = now
        self._why_not = str(trouble).splitlines()[0]
        self._was_held = isinstance(trouble, JobHeld)
        self._stamp = self._look()
        self.job: JobRead
        self._damage: StoreTrouble | None
        self.job, self._damage = read_job_as_far(folder)

    @property
    def _free(self) -> bool:
        """Whether the one who had it open has left it; one that was killed never says so."""
        left = not (self.folder / HOLDER).exists()
        return self._was_held and left and self._look() is not None

    @property
    def why(self) -> str:
        """Why it can only be read, and how far."""
        if self._free and self._damage is None:
            return FREE
        if self._damage is None:
            reads = "" if "only be read" in self._why_not else f" {READ}"
            return f"{self._why_not}{reads}"
        known = self._free or self._why_not == str(self._damage)
        other = "" if known else f"{self._why_not} "
        return f"{other}{self._damage} {AS_FAR}"

    @property
    def moment(self) -> datetime:
        """The moment that phases and waits are told for.

        That is now, while somebody has the job open elsewhere, or while it is paused. Otherwise
        nobody works on it, and nothing has gone on since its newest event.
        """
        state, now = self.job.state, self.now()
        if (self._was_held and not self._free) or state.status == "paused":
            return now
        return later(now, -seconds_since_last(state, now))

    @property
    def card(self) -> Card:
        """What the job asked for when its newest event was written."""
        job = self.job
        return only_read_card(job_card(job.procedure, job.state, self.shop.reasons, self.moment))

    def look_card(self, step: Step) -> Card:
        """Return the card of a step that is looked at."""
        return only_read_card(look_card(self.job.procedure, self.job.state, step, self.moment))

    def follow(self) -> bool:
        """Read the job again if its journal has changed; return whether it did.

        What cannot be read just now is read the next time.
        """
        stamp = self._look()
        if stamp == self._stamp:
            return False
        try:
            self.job, self._damage = read_job_as_far(self.folder)
        except (StoreTrouble, BadFile):
            return False
        self._stamp = stamp
        return True

    def _look(self) -> tuple[int, int] | None:
        """Return size and time of the journal; None where it cannot be looked at."""
        try:
            seen = (self.folder / NAME).stat()
        except OSError:
            return None
        return seen.st_size, seen.st_mtime_ns
