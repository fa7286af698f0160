"""Who sits before an open job: signing on, the lock of an idle screen, a second person's PIN."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.hands_actions import HandOver, RefusePin, SignOn
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.staff.pin_tries import TooSoon, WrongPin
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Deed, First
from baycompanion.views.forms.job_forms import taken_over
from baycompanion.views.forms.signing import PinGiven, pin_form, sign_on_form
from baycompanion.views.sentence import refusal


@dataclass(slots=True)
class Seat:
    """The seat before one job; whoever has no PIN in the staff file is taken at their id."""

    shop: Shop
    job: OpenJob
    now: Callable[[], datetime]
    signed: Person | None = None
    """The technician, as they signed on with a PIN."""
    vouched: Person | None = None
    """Somebody who has just given a PIN for one deed."""
    touched: datetime | None = None
    """When a key was last pressed."""

    @property
    def locked(self) -> bool:
        """Whether the job can be read and not answered, until its technician signs on."""
        state = self.job.state
        if state.status not in ("open", "paused"):
            return False
        if state.technician not in self.shop.staff:  # retired meanwhile
            return True
        signed = self.signed is not None and self.signed.id == state.technician
        return self._has_pin(state.technician) and not signed

    def touch(self) -> None:
        """Somebody is there: a key was pressed."""
        self.touched = self.now()

    def lock_if_idle(self) -> bool:
        """Lock where nobody pressed a key for the shop's time; return whether it did just now."""
        idle = self.now() - (self.touched or self.now())
        if self.signed is None or idle < timedelta(minutes=self.shop.lock_after):
            return False
        self.signed = None
        return self.locked

    def first(self, deed: Deed) -> First | None:
        """Return what must be typed before `deed` can be carried out, None where nothing must.

        Raises:
            StoreTrouble: Whoever is to carry it out is not on the staff.
        """
        if self.locked:
            return self.sign_on
        who = self._signer(deed)
        if not self._has_pin(who) or (self.vouched is not None and self.vouched.id == who):
            return None
        if who == self.job.state.technician and not isinstance(deed.action, HandOver):
            return None
        return First(pin_form(who), self._vouch)

    def person(self, deed: Deed) -> Person:
        """Return who carries out `deed`, with how they showed who they are; once.

        Raises:
            StoreTrouble: There is nobody of that id.
        """
        vouched, self.vouched = self.vouched, None
        who = self.shop.person(self._signer(deed))
        for proved in (vouched, self.signed):
            if proved is not None and proved.id == who.id:
                return proved
        return who

    @property
    def sign_on(self) -> First:
        """What the technician types to take the seat."""
        technician = self.job.state.technician
        return First(sign_on_form(technician, self._opens_without_pin), self._sign_on)

    @property
    def _opens_without_pin(self) -> bool:
        """Whether an id alone may be enough: only where the technician is gone from the staff."""
        gone = self.job.state.technician not in self.shop.staff
        return gone and self.shop.believes_a_supervisor

    def _signer(self, deed: Deed) -> str:
        """Return the staff id of whoever carries out `deed`, spelt as the staff file spells it."""
        return self.shop.person(deed.by or self.job.state.technician).id

    def _has_pin(self, who: str) -> bool:
        member = self.shop.members.get(who)
        return member is not None and member.pin is not None

    def _prove(self, given: PinGiven) -> Person:
        """Return who `given` is of; a wrong PIN is put down in the job.

        Raises:
            StoreTrouble: It is the PIN of nobody on the staff, or something cannot be saved.
        """
        try:
            return self.shop.prove(given.who, given.pin, self.now())
        except TooSoon:  # not looked at, so neither right nor wrong
            raise
        except WrongPin as wrong:
            technician = self.shop.known(self.job.state.technician)
            refused = RefusePin(refuse_pin=wrong.who, tries=wrong.tries)
            if not self.job.ended:
                self.job.act(refused, technician, self.now())
            raise

    def _vouch(self, given: PinGiven) -> str | None:
        try:
            self.vouched = self._prove(given)
        except StoreTrouble as trouble:
            return str(trouble)
        return None

    def _sign_on(self, given: PinGiven) -> str | None:
        """Let the technician take the seat, or a supervisor take the job over."""
        try:
            who = self._prove(given)
            refused = self._take_over(who) if self._may_take_over(who) else None
            if refused is not None:
                return refused
            result = self.job.act(SignOn(sign_on=who.id), who, self.now())
        except StoreTrouble as trouble:
            return str(trouble)
        if isinstance(result, Refused):
            return refusal(result)
        self.signed = who
        self.touch()
        return None

    def _may_take_over(self, who: Person) -> bool:
        """Return whether `who` takes the job from a technician who is not there.

        An id alone is not enough against a technician who would have to give a PIN.
        """
        technician = self.job.state.technician
        shown = who.signed is not None or not self._has_pin(technician)
        return who.id != technician and who.role == "supervisor" and shown

    def _take_over(self, who: Person) -> str | None:
        """Pass the job to a supervisor whose technician is not there."""
        take = taken_over(who.id, "Taken over by a supervisor at a locked screen.")
        result = self.job.act(take, who, self.now())
        return refusal(result) if isinstance(result, Refused) else None
