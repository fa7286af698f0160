"""Starting a job: what is asked of whoever takes the keys, in their order, and what comes of it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from pathlib import Path

from baycompanion.job.carried import Vehicle
from baycompanion.job.draft import Person
from baycompanion.job.mentoring import why_no_mentor
from baycompanion.store.job_folder import make_job
from baycompanion.store.shelf import find_procedure, list_procedures, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.taking import take_keys, why_not_alone
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.views.card import Field, First, Form
from baycompanion.views.signing import PinGiven, mentor_form, pin_form
from baycompanion.working.parts_order import order_at

Keys = Mapping[str, str]
"""What was typed when the keys came in, by the fields of the form."""


@dataclass(slots=True)
class Starting:
    """One job that is being started; a PIN and a mentor are asked for where they are needed."""

    shop: Shop
    now: Callable[[], datetime]
    folder: Path | None = None
    """The folder of the job, once it is made."""
    who: Person | None = None
    """Who took the keys, with how they showed who they are."""
    beside: dict[str, str] = field(default_factory=dict)
    """The mentor named for each trainee who was chosen; empty where a released one works alone."""

    def form(self) -> Form[Keys]:
        """Return the questions that every job begins with."""
        fields = (
            Field("procedure", "Procedure", tuple(list_procedures(self.shop.procedures))),
            Field("order", "Work order"),
            Field("vehicle", "Vehicle", hint="as you would point it out in the yard"),
            Field("vin", "VIN", may_be_empty=True),
            Field("plate", "Plate", may_be_empty=True),
            Field(
                "parts",
                "Order of the parts",
                hint="path of its file; may stay empty",
                may_be_empty=True,
            ),
            Field("by", "Technician", tuple(self.shop.staff)),
        )
        return Form("Start a job", fields, dict, accept="Start")

    def take(self, keys: Keys) -> First | None:
        """Make the job, or return what has to be answered before.

        Raises:
            StoreTrouble: Something that was typed leads nowhere, or the disk refuses.
            BadFile: The procedure, or the order of the parts, has errors.
        """
        loaded = read_procedure(find_procedure(keys["procedure"], self.shop.procedures))
        vehicle = Vehicle(
            description=clean_line(keys["vehicle"]),
            vin=clean_line(keys["vin"]).upper(),
            plate=clean_line(keys["plate"]),
        )
        order = order_at(keys["parts"])
        who = self.shop.person(keys["by"])
        follows, day = (loaded.procedure.procedure, loaded.procedure.revision), self.now().date()
        not_released = why_not_alone(self.shop, who, follows, day)
        named = self.beside.get(who.id)
        if who.role == "trainee" and (named is None or (not named and not_released)):
            form = mentor_form(who.id, tuple(self.shop.staff), not_released)
            return First(form, partial(self._stand_beside, who.id, not_released))
        mentor = take_keys(self.shop, who, follows, named or "", day)
        if self.who is not None and self.who.id == who.id:
            who = self.who
        if self.shop.members[who.id].pin is not None and who.signed is None:
            return First(pin_form(who.id), self._sign)
        self.folder = make_job(
            self.shop.jobs,
            loaded,
            clean_line(keys["order"]),
            vehicle,
            who,
            self.now(),
            order,
            self.shop.figures,
            mentor,
        )
        self.who = who
        return None

    def _stand_beside(self, trainee: str, not_released: str, mentor: str) -> str | None:
        why_not = why_no_mentor(self.shop.staff, trainee, mentor, not_released)
        if not why_not:
            self.beside[trainee] = mentor
        return why_not or None

    def _sign(self, given: PinGiven) -> str | None:
        try:
            self.who = self.shop.prove(given.who, given.pin, self.now())
        except StoreTrouble as trouble:
            return str(trouble)
        return None
