"""What stands half typed in the field of a card: kept on the disk, put back, and forgotten."""

from textual.timer import Timer

from baycompanion.screens.job.card_entry import CardEntry
from baycompanion.store.job.open_job import OpenJob

REST = 0.4
"""Seconds without a key after which what is typed is kept. Own choice."""


class HalfTyped:
    """The entry of one step, which outlives a look elsewhere, a way out, and a crash."""

    def __init__(self, job: OpenJob, entry: CardEntry) -> None:
        """Keep for `job` what is typed in the field of `entry`."""
        self._job = job
        self._entry = entry
        self._step = ""
        """The step that the field is for, even while another is looked at."""
        self._timer: Timer | None = None

    def turn_to(self, step: str) -> None:
        """Put back what was typed for `step`, where the field was for another, and keep that."""
        if step != self._step:
            if self._step:
                self.keep()
            self._step = step
            self._entry.put_back(self._job.draft_for(step))

    def rest(self) -> None:
        """Keep what is typed as soon as the hands rest."""
        self._stop()
        self._timer = self._entry.set_timer(REST, self.keep)

    def keep(self) -> None:
        """Keep what is typed."""
        self._stop()
        self._job.keep_draft(self._step, self._entry.typed)

    def forget(self) -> None:
        """Clear the field: what stood in it is answered."""
        self._stop()
        self._entry.put_back({})
        self._job.keep_draft(self._step, {})

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.stop()
