"""Acting in one job: who does it, when it was really done, and whether the laptop slept before."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import partial
from typing import Literal, NamedTuple

from baycompanion.job.actions import Action, AddPhoto, Later, TickLine
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.mentoring import why_no_mentor
from baycompanion.job.events.moment import write_moment
from baycompanion.job.hands_actions import FindGap, HandOver
from baycompanion.job.state.state import Attempt, Tick
from baycompanion.job.state.timing import seconds_since_last
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.steps import Step
from baycompanion.store.job.open_job import UNNOTICED, OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.staff.taking import take_keys, why_not_alone
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Card, Deed, First, Piece
from baycompanion.views.card.cards import again_card, job_card, look_card
from baycompanion.views.card.menu import MenuEntry, menu
from baycompanion.views.forms.signing import locked_card, mentor_form
from baycompanion.views.sentence import refusal
from baycompanion.working.photo import take_picture
from baycompanion.working.seat import Seat
from baycompanion.working.watch import Watch


class _Answers(NamedTuple):
    """What was answered on the step in hand."""

    step: str | None
    attempts: tuple[Attempt, ...]
    ticks: dict[str, Tick]


class AtWork:
    """One open job, and what its next answer has to be held against."""

    def __init__(
        self, shop: Shop, job: OpenJob, now: Callable[[], datetime], who: Person | None = None
    ) -> None:
        """Work on `job`; `now` stamps what is done; `who` may have given a PIN already."""
        self.shop = shop
        self.job = job
        self.now = now
        self.watch = Watch(now)
        self.seat = Seat(
            shop, job, now, who if who is not None and who.signed else None, None, now()
        )
        self._mentors: dict[str, str] = {}
        """Who was named to stand beside each trainee who is to take the job."""
        self.again = False
        """Whether the step in hand is answered once more, after a bad outcome."""
        self.claimed: datetime | None = None
        """For a late entry, when the step in hand was really done."""
        self.on_paper = False
        """Whether late entries are copied from the paper form, step after step."""
        self.copied_last: datetime | None = None
        """The time on paper of the step copied last."""
        self.no_sheet = ""
        """Why a job that has ended has no hand-over sheet, if it has none."""
        self.answered: Literal["nothing", "a line", "the step"] = "nothing"
        """What the last deed answered of the step in hand; a note, say, answers nothing.

        To take up another step, as by reopening it, counts as the step.
        """
        self.answered_step = ""
        """The step in hand that the last deed answered, a line of it or whole; empty if none."""

    @property
    def card(self) -> Card:
        """What the job asks for now."""
        procedure, state = self.job.procedure, self.job.state
        in_hand = state.current is not None and state.gap is None and state.status == "open"
        if self.again and in_hand:
            card = again_card(procedure, state, self.now())
        else:
            card = job_card(procedure, state, self.shop.reasons, self.now())
        if self.no_sheet:
            card = replace(card, pieces=(Piece("bad", self.no_sheet), *card.pieces))
        return locked_card(card, self.seat.sign_on) if self.seat.locked else card

    def look_card(self, step: Step) -> Card:
        """Return the card of a step that is only looked at."""
        return look_card(self.job.procedure, self.job.state, step, self.now())

    @property
    def menu(self) -> tuple[MenuEntry, ...]:
        """What the job offers from any step besides its keys."""
        return menu(self.job.state, self.shop.staff)

    def date_back(self, claimed: datetime, on_paper: bool) -> None:
        """Let the next answer count as done at `claimed`."""
        self.claimed, self.on_paper = claimed, on_paper
        if on_paper:
            self.copied_last = claimed

    def date_now(self) -> None:
        """Let the next answer be one of now, and copy nothing more from paper."""
        self.claimed, self.on_paper = None, False

    @property
    def dated_back(self) -> str:
        """What the next answer is dated to, as long as it is not now."""
        if self.claimed is None:
            return ""
        how = "From paper" if self.on_paper else "Late entry"
        at = moment_words(write_moment(self.claimed), self.now())
        return f"{how}: what you answer now was done at {at}."

    @property
    def copies_on(self) -> bool:
        """Whether the time on paper of the next step is to be asked for now."""
        return self.on_paper and self.claimed is None and self.answered == "the step"

    def step_to_copy(self) -> Step | None:
        """Return the step whose time on paper is asked for; without one, copying ends."""
        self.answered = "nothing"
        state = self.job.state
        step = self.job.procedure.steps.get(state.current or "")
        self.on_paper = step is not None and state.status == "open"
        return step if self.on_paper else None

    def carry_out(self, deed: Deed) -> str | First | None:
        """Make `deed` durable; return the sentence that says why not, what comes first, or None."""
        before = self._answers()
        try:
            handed = self._handed(deed)
            if isinstance(handed, First):
                return handed
            deed = handed
            first = self._first(deed)
            if first is not None:
                return first
            who = self.seat.person(deed)
            action = self._pictured(deed, who)
            result = self.job.act(self._dated(action), who, self.now())
        except StoreTrouble as trouble:
            if self.job.ended:  # without its record, or not in the ledger, as the trouble says
                self._leave_hand_over()
            return str(trouble)
        if isinstance(result, Refused):
            return refusal(result)
        self._settle(before)
        if self.job.ended:
            self._leave_hand_over()
        return None

    def _handed(self, deed: Deed) -> Deed | First:
        """Return `deed`, which passes the job on, with its mentor; or ask for one first.

        Raises:
            StoreTrouble: Whoever is to take the job could not have taken its keys.
        """
        if not isinstance(deed.action, HandOver):
            return deed
        shop = self.shop.with_staff_of_now()
        self.job.lists = shop.lists
        taker, day = shop.person(deed.action.hand_over), self.now().date()
        follows = self.job.procedure.procedure, self.job.procedure.revision
        mentor = deed.action.mentor or self._mentors.get(taker.id)
        not_released = why_not_alone(shop, taker, follows, day)
        if taker.role == "trainee" and (mentor is None or (not mentor and not_released)):
            form = mentor_form(taker.id, tuple(shop.staff), not_released)
            return First(form, partial(self._stand_beside, taker.id, not_released))
        mentor = take_keys(shop, taker, follows, mentor or "", day) or ""
        return replace(deed, action=deed.action.model_copy(update={"mentor": mentor or None}))

    def _stand_beside(self, trainee: str, not_released: str, mentor: str) -> str | None:
        why_not = why_no_mentor(self.shop.staff, trainee, mentor, not_released)
        if not why_not:
            self._mentors[trainee] = mentor
        return why_not or None

    def _first(self, deed: Deed) -> str | First | None:
        """Return what comes before `deed`: a PIN, unless it would be refused all the same."""
        first = self.seat.first(deed)
        if first is None or self.seat.locked:
            return first
        who = self.shop.person(deed.by or self.job.state.technician)
        refused = self.job.refused(self._dated(deed.action), who, self.now())
        return refusal(refused) if refused is not None else first

    def _leave_hand_over(self) -> None:
        """Leave the sheet for the owner in the folder of the job that has ended; practice none."""
        if self.job.is_practice:
            return
        from baycompanion.working.hand_over import leave_hand_over  # templates, for the end alone

        self.no_sheet = leave_hand_over(self.shop, self.job.folder, self.now())

    def _pictured(self, deed: Deed, who: Person) -> Action:
        """Return the action of `deed`, whose picture is copied into the job before it.

        Raises:
            StoreTrouble: There is no such picture, or it cannot be copied or saved.
        """
        if not deed.picture or not isinstance(deed.action, TickLine | AddPhoto):
            return deed.action
        adds = isinstance(deed.action, AddPhoto)
        if adds and self.job.refused(deed.action, who, self.now()) is not None:
            return deed.action  # refused as it is, it leaves no copy
        try:
            photo = take_picture(self.shop, self.job, deed.picture)
        except ValueError as wrong:
            raise StoreTrouble(str(wrong)) from None
        if not isinstance(deed.action, TickLine):
            return photo
        if all(photo.photo != known.data.file for known in self.job.state.photos):
            self.job.act(photo, who, self.now())
        marks = tuple(mark.model_copy(update={"photo": photo.photo}) for mark in deed.action.marks)
        return deed.action.model_copy(update={"marks": marks})

    def _dated(self, action: Action) -> Action:
        """Return `action`, an entry with the time claimed for it if it is a late one."""
        if isinstance(action, Later) and action.claimed is None and self.claimed is not None:
            late = {"claimed": self.claimed, "on_paper": self.on_paper}
            return action.model_copy(update=late)
        return action

    def _answers(self) -> "_Answers":
        """Return what was answered on the step in hand; a note, say, leaves it as it is."""
        current = self.job.state.current
        track = self.job.state.track(current or "")
        return _Answers(current, track.attempts, dict(track.ticks))

    def _settle(self, before: "_Answers") -> None:
        """Let a late entry and a second try end with the answer they were meant for."""
        now = self._answers()
        self.answered, self.answered_step = "nothing", ""
        if now != before:
            self.answered = "a line" if now[:2] == before[:2] else "the step"
            attempts = self.job.state.track(before.step or "").attempts
            if self.answered == "a line" or attempts != before.attempts:
                self.answered_step = before.step or ""
        if self.answered == "the step":
            self.again = False
            self.claimed = None

    def notice_sleep(self) -> bool:
        """Set aside the time that the laptop slept, if it did; return whether it did.

        Raises:
            StoreTrouble: It could not be saved; it is noticed again next time.
        """
        now, state = self.now(), self.job.state
        passed = min(self.watch.look(), seconds_since_last(state, now))
        running = state.status == "open" and state.accepted_at is not None
        slept = running and passed > UNNOTICED
        if slept:
            who = self.shop.known(state.technician)
            self.job.act(FindGap(gap="slept", seconds=passed), who, now)
            self.answered, self.answered_step = "nothing", ""
        self.watch.forget()
        return slept
