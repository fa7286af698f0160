"""Who sits down to learn: their id, and their PIN where they have one."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from baycompanion.job.deciding.draft import Person
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Field, First, Form
from baycompanion.views.forms.signing import PinGiven, pin_form


@dataclass(slots=True)
class Learner:
    """Somebody of the staff, once they have shown who they are."""

    shop: Shop
    now: Callable[[], datetime]
    who: Person | None = None

    def form(self, name: str = "") -> Form[Mapping[str, str]]:
        """Ask who it is; `name` is the id that stands in hand."""
        field = Field("who", "Staff id", tuple(self.shop.staff), value=name)
        return Form("Who learns?", (field,), dict, accept="Go on")

    def take(self, given: Mapping[str, str]) -> First | None:
        """Take who it is, or return what they have to type before.

        Raises:
            StoreTrouble: They are not on the staff.
        """
        return self.come(given["who"])

    def come(self, name: str) -> First | None:
        """Let whoever has the id `name` come, or return what they have to type before.

        Raises:
            StoreTrouble: They are not on the staff.
        """
        who = self.shop.person(name)
        if self.who is not None and self.who.id == who.id:
            return None
        if self.shop.members[who.id].pin is not None:
            return First(pin_form(who.id), self._sign)
        self.who = who
        return None

    def _sign(self, given: PinGiven) -> str | None:
        try:
            self.who = self.shop.prove(given.who, given.pin, self.now())
        except StoreTrouble as trouble:
            return str(trouble)
        return None
