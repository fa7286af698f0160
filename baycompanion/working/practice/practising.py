"""Acting in one practice: the cards of a job, and what the made-up vehicle and practice add."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.practising import MENTOR
from baycompanion.job.events.kinds import Answered, Begun, FaultCleared, Reopened
from baycompanion.job.events.moment import read_moment
from baycompanion.job.events.practice_kinds import Looked
from baycompanion.job.practice_actions import TakeUp
from baycompanion.learning.practice.summary import summarise
from baycompanion.learning.practice.taken_for import taken_for
from baycompanion.learning.practice.vehicle import Seen, make_vehicle, seen_at, truthful
from baycompanion.procedure.steps import Step, Wait, Witness
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.practice import open_practice, read_practice
from baycompanion.store.shop import Shop
from baycompanion.store.staff.staff import Member
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Card, Deed, First
from baycompanion.views.card.menu import MenuEntry, practice_menu
from baycompanion.views.card.waiting import seconds_left
from baycompanion.views.practice.cards import (
    ASKED_FIRST,
    NOTHING_THERE,
    TOLD_FIRST,
    look_deed,
    with_look,
    with_mentor,
    with_override,
    with_take_up,
    with_time,
    without_photo,
)
from baycompanion.views.practice.end import end_card
from baycompanion.working.at_work import AtWork
from baycompanion.working.practice.asking_next import AskingNext
from baycompanion.working.practice.clock import PracticeClock
from baycompanion.working.practice.one_phase import come_to, end_after


class AtPractice:
    """One practice at work; it offers to screens and lines what `AtWork` offers of a job."""

    def __init__(self, shop: Shop, folder: Path, now: Callable[[], datetime]) -> None:
        """Work on the practice in `folder` by the clock `now`.

        Of one phase alone, everything before it is done at once.

        Raises:
            StoreTrouble: It is open elsewhere, it is a real job, or a file cannot be read.
            BadFile: The pinned procedure cannot be read any more.
        """
        state = read_practice(folder).state
        practice = state.opened.practice
        assert practice is not None
        who = Person(state.technician, state.opened.role)
        self.now = PracticeClock(now, read_moment(state.last_at))
        self.shop = _without_pins(shop, who)
        self.job: OpenJob = open_practice(folder, who, self.now())
        self._phase = practice.phase
        self._work = AtWork(self.shop, self.job, self.now)
        self.seat, self.watch = self._work.seat, self._work.watch
        self._next = AskingNext(self.job, practice.seed, practice.phase)
        self._made = make_vehicle(self.job.procedure, practice.seed, practice.faults)
        if self._phase is not None:
            self._come_to(self._phase)

    def _come_to(self, phase: str) -> None:
        """Do what lies before the one phase; where it is not reached, nobody has this open."""
        try:
            come_to(phase, self.job, self._made, self.now)
        except StoreTrouble:
            self.job.leave()
            raise

    # --- the card ------------------------------------------------------------------------------

    @property
    def card(self) -> Card:
        """What the practice asks for now."""
        procedure, state = self.job.procedure, self.job.state
        if self.job.ended:
            mistaken = taken_for(procedure, self._made, state)
            return end_card(procedure, summarise(procedure, self.job.events), mistaken)
        return self._next.card or self._with_practice(self._work.card)

    @property
    def hides_order(self) -> bool:
        """Whether the order of the steps may not be shown: what comes next is asked."""
        return not self.job.ended and self._next.hides_order

    def look_card(self, step: Step) -> Card:
        """Return the card of a step that is only looked at; it can be taken up from there."""
        card = without_photo(self._work.look_card(step), step)
        return with_take_up(card, self.job.procedure, self.job.state, step)

    def _with_practice(self, card: Card) -> Card:
        """Return the card of a job with what practice adds to it."""
        if card.kind == "gate":
            return with_override(card, MENTOR)
        step = self._in_hand
        if card.kind != "step" or step is None:
            return card
        card = without_photo(card, step)
        if isinstance(step, Witness):
            found = self._found_by_mentor(step)
            return with_mentor(card, found, MENTOR) if found is not None else card
        if isinstance(step, Wait) and self._seconds_left(step):
            card = with_time(card, self._let_run_out)
        seen = self._seen(step)
        if not seen.words:
            return card
        return with_look(card, step, seen if self._has_looked(step) else None)

    @property
    def _in_hand(self) -> Step | None:
        return self.job.procedure.steps.get(self.job.state.current or "")

    # --- the made-up vehicle -------------------------------------------------------------------

    @property
    def look(self) -> Deed | str:
        """What looks at the made-up vehicle now, or the sentence that says why nothing does."""
        if self._next.hides_order:
            return ASKED_FIRST
        if self._next.card is not None:
            return TOLD_FIRST
        step = self._in_hand
        if step is None or isinstance(step, Witness) or not self._seen(step).words:
            return NOTHING_THERE
        return look_deed(step)

    @property
    def seen(self) -> tuple[str, ...]:
        """What is there to be seen at the step in hand, in lines."""
        step = self._in_hand
        return self._seen(step).words if step is not None else ()

    def _seen(self, step: Step) -> Seen:
        return seen_at(self._made, self.job.procedure, self.job.state, step)

    def _has_looked(self, step: Step) -> bool:
        """Return whether somebody looked since the step was begun, answered or put right."""
        for event in reversed(self.job.events):
            if isinstance(event.data, Looked) and event.data.step == step.id:
                return True
            if isinstance(event.data, FaultCleared):
                return False
            if isinstance(event.data, Begun | Answered | Reopened) and event.data.step == step.id:
                return False
        return False

    def _found_by_mentor(self, step: Witness) -> Answer | None:
        """Return what the mentor finds who looks at `step`, None where it leads elsewhere."""
        state = self.job.state
        cleared = tuple(
            replace(fault, cleared_at=fault.cleared_at or state.last_at) for fault in state.faults
        )  # or the honest thing would be to put them right first
        done = truthful(self._made, self.job.procedure, replace(state, faults=cleared))
        found = done[0] if done is not None else None
        return found if isinstance(found, Answer) and found.answer == step.id else None

    def _seconds_left(self, step: Wait) -> int:
        return seconds_left(self.job.state, step, self.now()) or 0

    def _let_run_out(self) -> None:
        """Let the clock of the practice go ahead until the wait in hand is over."""
        step = self._in_hand
        if isinstance(step, Wait):
            self.now.go_ahead(self._seconds_left(step))

    # --- acting --------------------------------------------------------------------------------

    def carry_out(self, deed: Deed) -> str | First | None:
        """Make `deed` durable; return the sentence that says why not, what comes first, or None."""
        why_not = self._work.carry_out(deed)
        if why_not is None and isinstance(deed.action, TakeUp):
            self._next.go_on()
        if why_not is None and self._phase is not None:
            try:
                end_after(self._phase, self.job, self.now())
            except StoreTrouble as trouble:
                return str(trouble)
        return why_not

    @property
    def menu(self) -> tuple[MenuEntry, ...]:
        """What practice offers from any step besides its keys."""
        return practice_menu(self.job.state)

    @property
    def again(self) -> bool:
        """Whether the step in hand is answered once more, after a bad outcome."""
        return self._work.again

    @again.setter
    def again(self, again: bool) -> None:
        self._work.again = again

    @property
    def answered(self) -> str:
        """What the last deed answered of the step in hand, as a job at work tells it."""
        return self._work.answered

    @property
    def answered_step(self) -> str:
        """The step in hand that the last deed answered; empty if none."""
        return self._work.answered_step

    def notice_sleep(self) -> bool:
        """Return that nobody asks about time that passed: none of it counts in practice."""
        self.watch.look()
        self.watch.forget()
        return False

    # --- entries of another time, which practice has none of -------------------------------------

    dated_back = ""
    copies_on = False
    copied_last = None

    def date_now(self) -> None:
        """Leave the next answer one of now; in practice there are no others."""

    def date_back(self, claimed: datetime, on_paper: bool) -> None:
        """Refuse what no menu of practice offers.

        Raises:
            ValueError: Always.
        """
        raise ValueError("In practice, every answer is one of now.")

    def step_to_copy(self) -> None:
        """Return no step: nothing is copied from paper in practice."""


def _without_pins(shop: Shop, who: Person) -> Shop:
    """Return `shop` with the staff of a practice: whoever practises, and the made-up mentor."""
    staff = (who, MENTOR)
    members = {each.id: Member.model_validate({"id": each.id, "role": each.role}) for each in staff}
    return replace(shop, members=members, watched=None)
