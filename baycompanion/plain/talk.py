"""The talk about one job: what was read last, what stands half done, and how a deed is told."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Literal

from baycompanion.job.record.past_job import PastJob
from baycompanion.job.state.state import State
from baycompanion.plain.form import ask_form, taken
from baycompanion.plain.meaning import understand
from baycompanion.plain.prompt import prompt
from baycompanion.plain.reading import read_card, row_name, same_card, without_sign
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import AT_A_JOB, Word
from baycompanion.procedure.steps import Step, Wait
from baycompanion.store.job.past_times import past_of
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.board.ready_by import ready_by
from baycompanion.views.card import place
from baycompanion.views.card.card import Card, Deed, First, Form
from baycompanion.views.card.cards import last_finished
from baycompanion.views.card.fading import Guided
from baycompanion.views.card.kept import kept_besides
from baycompanion.views.card.wording import answered
from baycompanion.views.forms import answer_forms, job_forms
from baycompanion.working.at_work import AtWork
from baycompanion.working.guidance import Guidance
from baycompanion.working.half_typed import HalfTyped, half_typed

if TYPE_CHECKING:  # few jobs are practice
    from baycompanion.working.practice.practising import AtPractice

Leaving = Literal["board", "quit"]
"""Where the person goes from here."""

Offer = Callable[["Talk", Card, str], Leaving | None]
"""Does what a word says; takes the card that was read, and what followed the word."""


@dataclass
class Talk:
    """One job under way, line by line."""

    lines: Lines
    work: "AtWork | AtPractice"
    offers: Mapping[str, Offer]
    """What each word of the program does."""
    words: tuple[Word, ...] = AT_A_JOB
    """The words of the program that can be typed."""
    heard: Card | None = None
    """The card that was read last."""
    phase: str | None = None
    """The phase that was told last."""
    standing: str = ""
    """What was last told to stay true."""
    line: int | None = None
    """The line of a list that was asked for by its number."""
    entries: tuple[str, ...] = ()
    """What stands in a list that is being typed."""
    past: tuple[PastJob, ...] | None = None
    """Ended jobs of the same procedure; None before they were read, once."""
    guidance: Guidance = field(init=False)
    """How much is read of a step to a trainee who has done it right before."""

    def __post_init__(self) -> None:
        """Guide whoever has the job."""
        self.guidance = Guidance(self.work.shop, self.work.job)

    def say(self, text: str) -> None:
        """Add one line."""
        self.lines.say(text)

    def step_of(self, card: Card) -> Step | None:
        """Return the step that `card` is about."""
        return self.work.job.procedure.steps.get(card.step or "")

    # --- reading -------------------------------------------------------------------------------

    def read_if_new(self, card: Card) -> None:
        """Read `card`, unless it is the one that was read last."""
        if not same_card(card, self.heard):
            self.line, self.entries = None, ()
            self.read(card)
            self._put_back(card)

    def read(self, card: Card) -> None:
        """Read `card`, after what has changed around it."""
        self.heard = card
        self._read_around(card)
        guided = self.guided(card, with_why=self.guidance.opens_why)
        say_all(self.lines, read_card(guided.card, guided.why))

    def _put_back(self, card: Card) -> None:
        """Say what was half typed for the step in hand, here or on the screens; a list goes on."""
        if card.kind != "step" or card.step is None:
            return
        entry, listed = half_typed(self.work.job.draft_for(card.step))
        if listed and card.list_entry is not None:
            self.entries = listed
            count = "1 entry stands" if len(listed) == 1 else f"{len(listed)} entries stand"
            self.say(f"{count} here from before, the last: {listed[-1]}. ?undo takes it back.")
        if entry:
            self.say(f"Half typed before, and no answer yet: {entry}")

    def list_on(self, entries: tuple[str, ...], card: Card) -> None:
        """Let `entries` be what stands in the list of `card`, even if the lines end here."""
        self.entries = entries
        self.work.job.keep_draft(card.step or "", HalfTyped(listed=entries).to_keep())

    def guided(self, card: Card, *, with_why: bool) -> Guided:
        """Return `card` as it is read to whoever has the job, after reading their past once."""
        to_read = self.guidance.to_read()
        if to_read is not None:
            who, reading = to_read
            self.guidance.know(who, reading(lambda: False))
        return self.guidance.shown(card, with_why)

    def _read_around(self, card: Card) -> None:
        """Say the phase where it is another one, and what must stay true where that changed too.

        What `card`, which is read next, says itself is left to it.
        """
        procedure, state = self.work.job.procedure, self.work.job.state
        standing = without_sign(place.standing_line(procedure, state))
        new_phase = state.phase != self.phase
        if new_phase:
            self.say(place.phase_above(card, procedure, state, self.work.now()))
            self._say_ready_by()
        if standing and (new_phase or standing != self.standing):
            self.say(standing)
        self.phase, self.standing = state.phase, standing

    def _say_ready_by(self) -> None:
        """Say when the job is likely to be ready, where the shop's past says anything of it."""
        job, now = self.work.job, self.work.now()
        if job.is_practice:  # it is never ready by any time
            return
        if self.past is None:
            named = job.state.opened.procedure
            self.past = past_of(self.work.shop.jobs, {named})[named]
        ready = ready_by(job.procedure, job.state, self.past, now)
        if ready is not None:
            self.say(f"Ready: {ready}.")

    def read_place(self, card: Card) -> None:
        """Say in one line what is in hand, after something else was read."""
        self.say(f"Now, {card.heading[:1].lower()}{card.heading[1:]}: {card.title}")

    # --- doing ---------------------------------------------------------------------------------

    def do(self, deed: Deed) -> None:
        """Carry `deed` out, and say what was saved, or why it cannot be."""
        before, card = self.work.job.state, self.work.card
        why_not = taken(self.lines, deed, self.carry_out)
        self.say(why_not or self._saved(before, card))

    def ask(self, form: Form[Deed]) -> None:
        """Ask `form`, and say what was saved."""
        before, card = self.work.job.state, self.work.card
        if ask_form(self.lines, form, self.carry_out):
            self.say(self._saved(before, card))

    def copy_from_paper(self) -> None:
        """Ask when the step in hand was done by hand; a wait is answered by that at once."""
        now, step = self.work.now(), self.work.step_to_copy()
        if step is None:
            self.say(job_forms.NO_STEP_TO_COPY)
        elif isinstance(step, Wait):
            self.ask(answer_forms.paper_wait_form(step, now))
        elif not ask_form(
            self.lines, job_forms.paper_form(now, self.work.copied_last), self._take_time
        ):
            self.work.date_now()
            self.say("Nothing more is copied from paper.")

    def _take_time(self, claimed: datetime) -> None:
        self.work.date_back(claimed, on_paper=True)
        self.say(self.work.dated_back)

    def copy_on(self) -> bool:
        """Ask for the time of the next step while steps are copied; return whether it was asked."""
        asked = self.work.copies_on
        if asked:
            self.copy_from_paper()
        return asked

    def _saved(self, before: State, card: Card) -> str:
        """Return what was saved after the state `before`, of which `card` knew nothing yet.

        It is the answer where a step was finished, what a line says more than was answered, or
        what was kept besides.
        """
        self.line = None
        if self.work.answered_step:
            self.work.job.keep_draft(self.work.answered_step, {})
        procedure, state = self.work.job.procedure, self.work.job.state
        name = last_finished(state)
        if name is None or state.track(name).attempts[-1].seq <= before.seq:
            kept = kept_besides(before, state)
            more = _said_more(card, self.work.card)
            return more or (f"Saved: {kept.words}" if kept else "Saved.")
        answer = answered(procedure, state, procedure.steps[name])
        return f"Saved: {answer.rstrip('.')}."

    def carry_out(self, deed: Deed) -> str | First | None:
        """Make `deed` durable, after the time asleep; return why it cannot be, or None."""
        try:
            if self.work.notice_sleep():
                self._account_for_sleep()
        except StoreTrouble as trouble:
            return str(trouble)
        return self.work.carry_out(deed)

    def _account_for_sleep(self) -> None:
        """Ask what the time asleep was, while what was typed before waits."""
        card = self.work.card
        say_all(self.lines, read_card(card))
        self.say("Answer this first. What you typed before is kept.")
        while self.work.job.state.gap is not None:
            meant = understand(card, None, (), self.lines.ask(prompt(card, None)), self.words)
            if isinstance(meant, Form):
                ask_form(self.lines, meant, self.work.carry_out)
            elif isinstance(meant, Deed):
                self.say(taken(self.lines, meant, self.work.carry_out) or "Saved.")
            card = self.work.card


def _said_more(before: Card, now: Card) -> str:
    """Return what one line says more than was answered to it between two cards, if it does."""
    pairs = zip(before.rows, now.rows, strict=False) if same_card(now, before) else ()
    changed = [new for old, new in pairs if new.word != old.word]
    if len(changed) != 1 or not changed[0].says_more:
        return ""
    return f"Saved: {row_name(changed[0]).rstrip('.')}: {changed[0].word}."
