"""How much guidance is shown to whoever has an open job: all of it, unless a trainee needs less."""

from collections.abc import Callable

from baycompanion.learning.fading import content_of, times_in_a_row, wrong_here
from baycompanion.procedure.steps import Step
from baycompanion.store.job.done_right import Past, done_right
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.views.card.card import Card
from baycompanion.views.card.fading import Guided, faded

Reading = Callable[[Callable[[], bool]], Past]
"""Reads a past; what it is given is asked before each job whether to give up."""


class Guidance:
    """The guidance of one job; until the past of its trainee is read, all of it is shown."""

    def __init__(self, shop: Shop, job: OpenJob) -> None:
        """Guide whoever has `job`."""
        self._shop = shop
        self._job = job
        self._past: Past = ()
        self._past_of: str | None = None
        """Whose past is read, or being read."""
        self._opened: str | None = None
        """The step of which everything is shown, because somebody asked for it."""

    @property
    def for_trainee(self) -> bool:
        """Whether a trainee has the job, says the staff file."""
        technician = self._shop.staff.get(self._job.state.technician)
        return technician is not None and technician.role == "trainee"

    @property
    def opens_why(self) -> bool:
        """Whether the why of each step is open without asking: for a trainee, and in practice."""
        return self._job.is_practice or self.for_trainee

    @property
    def _fade_after(self) -> int:
        """From how many times right in a row on a step is shortened here, 0 for never."""
        if self._job.is_practice or not self.for_trainee:
            return 0
        return self._shop.fade_after_for(self._job.state.technician)

    def to_read(self) -> tuple[str, Reading] | None:
        """Return whose past is to be read now, and what reads it; each is read once.

        None where there is nothing to read: it was read, or nothing fades here.
        """
        jobs, state, fade_after = self._shop.jobs, self._job.state, self._fade_after
        who, procedure = state.technician, state.opened.procedure
        if fade_after == 0 or self._past_of == who:
            return None
        self._past, self._past_of = (), who
        return who, lambda given_up: done_right(jobs, procedure, who, fade_after, given_up)

    def know(self, who: str, past: Past) -> None:
        """Take the past of `who` that was read, unless somebody else has the job by now."""
        if who == self._past_of:
            self._past = past

    def shown(self, card: Card, with_why: bool) -> Guided:
        """Return `card` as it is shown now, with the why of its step where that is wanted."""
        step = self._job.procedure.steps.get(card.step or "")
        if step is None:
            return Guided(card, "")
        if step.id == self._opened:
            return Guided(card, step.why or "")
        return self._faded(card, step, step.why or "" if with_why else "")

    def turn(self, card: Card, with_why: bool) -> bool:
        """Show all of a card that is shown short, or short again; return whether that was it."""
        step = self._job.procedure.steps.get(card.step or "")
        if step is None or not self._faded(card, step, step.why or "" if with_why else "").short:
            return False
        self._opened = None if self._opened == step.id else step.id
        return True

    def _faded(self, card: Card, step: Step, why: str) -> Guided:
        fade_after = self._fade_after
        return faded(card, step, why, self._times(step), fade_after)

    def _times(self, step: Step) -> int:
        """Return how many times in a row whoever has the job did `step` right, as it is now."""
        state = self._job.state
        if self._past_of != state.technician or wrong_here(state, step.id):
            return 0
        return times_in_a_row(content_of(self._job.procedure, step), step.id, self._past)
