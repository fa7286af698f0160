"""The line of the phase: the step, the clock, and when the job is likely to be ready."""

from collections.abc import Callable
from datetime import datetime

from textual import on
from textual.content import Content

from baycompanion.job.record.past_job import PastJob
from baycompanion.screens.board.past_reading import PastRead, read_past
from baycompanion.screens.words import Words
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.views.board.ready_by import ready_by
from baycompanion.views.card.place import phase_strip


class PhaseLine(Words):
    """One line below the name of the job, brought up to date every second."""

    def __init__(self, shop: Shop, job: OpenJob, now: Callable[[], datetime]) -> None:
        """Tell of `job` by the clock `now`; the past is that of `shop`."""
        super().__init__("phase")
        self._shop = shop
        self._job = job
        self._now = now
        self._past: tuple[PastJob, ...] = ()
        """Ended jobs of the same procedure."""

    def on_mount(self) -> None:
        """Read the past once, after the first frame; practice is never ready by any time."""
        if self._job.is_practice:
            return
        read_past(self, self._shop, lambda: {self._job.state.opened.procedure})

    def on_resize(self) -> None:
        """Find out anew how much has room."""
        self.show()

    def show(self) -> None:
        """Tell of the job as it stands now."""
        procedure, state, now = self._job.procedure, self._job.state, self._now()
        ready = ready_by(procedure, state, self._past, now)
        phrases = ready.phrases if ready is not None else ()
        room = max(1, self.screen.size.width - 2)

        def fits(line: str) -> bool:
            return Content(line).cell_length <= room

        self.say(phase_strip(procedure, state, now, phrases, fits))

    @on(PastRead)
    def _past_read(self, event: PastRead) -> None:
        self._past = event.past[self._job.state.opened.procedure]
        self.show()
