"""Asking what comes next while a practice is open: when it is asked, and what was said of it."""

from baycompanion.job.events.practice_kinds import NextSaid
from baycompanion.learning.practice.what_next import asks_next, next_choices
from baycompanion.procedure.steps import Step
from baycompanion.store.job.open_job import OpenJob
from baycompanion.views.card.card import Card
from baycompanion.views.practice.cards import next_card, told_card


class AskingNext:
    """What is asked and told of the order in one open practice."""

    def __init__(self, job: OpenJob, seed: int, phase: str | None) -> None:
        """Ask in `job`, drawn by `seed`; with `phase` in that one alone."""
        self._job = job
        self._seed = seed
        self._phase = phase
        self._gone_on = 0
        """The newest event when the person went on from what was told."""
        self._choices: tuple[str, tuple[Step, ...]] = ("", ())
        """What is offered, and the step for which it was drawn."""

    @property
    def card(self) -> Card | None:
        """The question, or what is told after its answer; None where neither stands."""
        procedure, state = self._job.procedure, self._job.state
        told, asked = self._told, self._asked
        if told is not None:
            return told_card(procedure, state, told, self.go_on)
        return next_card(procedure, state, self._choices_for(asked)) if asked is not None else None

    @property
    def hides_order(self) -> bool:
        """Whether the order of the steps may not be shown: it is asked, and not answered yet."""
        return self._told is None and self._asked is not None

    def go_on(self) -> None:
        """Leave what was told behind."""
        self._gone_on = self._job.state.seq

    @property
    def _fresh(self) -> Step | None:
        """The step in hand where nothing was done at it yet, and it stands in its place."""
        state = self._job.state
        step = self._job.procedure.steps.get(state.current or "")
        if step is None or state.taken_up or state.status != "open" or state.gap is not None:
            return None
        track = state.track(step.id)
        touched = track.attempts or track.acknowledged or track.ticks or track.reopened
        return None if touched else step

    @property
    def _asked(self) -> Step | None:
        """The step in hand while it is asked whether it comes next; each step is asked once."""
        step, procedure = self._fresh, self._job.procedure
        if step is None or not asks_next(procedure, self._seed, step):
            return None
        if self._phase not in (None, procedure.phase_of[step.id].phase):
            return None
        if any(said.due == step.id for _, said in self._said):
            return None
        return step if len(self._choices_for(step)) > 1 else None  # one alone is no question

    @property
    def _told(self) -> NextSaid | None:
        """The answer that is being talked about, until the person goes on or does something."""
        step, said = self._fresh, self._said
        if step is None or not said:
            return None
        seq, last = said[-1]
        return last if seq > self._gone_on and last.due == step.id else None

    @property
    def _said(self) -> list[tuple[int, NextSaid]]:
        """Every answer so far, each with its number in the journal."""
        return [(e.seq, e.data) for e in self._job.events if isinstance(e.data, NextSaid)]

    def _choices_for(self, due: Step) -> tuple[Step, ...]:
        if self._choices[0] != due.id:
            drawn = next_choices(self._job.procedure, self._job.state, due, self._seed)
            self._choices = due.id, drawn
        return self._choices[1]
