"""Starting a job: what is asked of whoever takes the keys, in their order, and what comes of it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import partial
from pathlib import Path

from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.mentoring import why_no_mentor
from baycompanion.job.deciding.opening import KeysIn
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.events.kinds import Opened
from baycompanion.store.job.earlier import earlier_in
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.journal import NAME, read_ends
from baycompanion.store.shelf import find_procedure, list_procedures, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.staff.taking import take_keys, why_not_alone
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.views.card.card import Field, First, Form, Piece
from baycompanion.views.forms.signing import PinGiven, mentor_form, pin_form
from baycompanion.working.parts_order import order_at

COMEBACK = "comeback"
"""The procedure that a vehicle which comes back is offered first."""

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
    earlier: Path | None = None
    """The folder of the job that the vehicle comes back from."""
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

    def comeback_form(self, earlier: Path) -> Form[Keys]:
        """Return the same questions for a vehicle that comes back from the job in `earlier`.

        Raises:
            StoreTrouble: The journal of that job cannot be read.
        """
        opened = read_ends(earlier / NAME)[0].data
        assert isinstance(opened, Opened)
        self.earlier = earlier
        known = {
            "procedure": COMEBACK,
            "vehicle": opened.vehicle.description,
            "vin": opened.vehicle.vin,
            "plate": opened.vehicle.plate,
        }
        form = self.form()
        fields = tuple(replace(each, value=known.get(each.name, "")) for each in form.fields)
        said = f"It comes back from {opened.work_order}, {opened.title}, {opened.job}."
        return replace(
            form, title="A vehicle came back", fields=fields, lead=(Piece("plain", said),)
        )

    def take(self, keys: Keys) -> First | None:
        """Make the job, or return what has to be answered before.

        Raises:
            StoreTrouble: Something that was typed leads nowhere, or the disk refuses.
            BadFile: The procedure, the order of the parts, or that of the earlier job has errors.
        """
        loaded = read_procedure(find_procedure(keys["procedure"], self.shop.procedures))
        vehicle = Vehicle(
            description=clean_line(keys["vehicle"]),
            vin=clean_line(keys["vin"]).upper(),
            plate=clean_line(keys["plate"]),
        )
        order = order_at(keys["parts"])
        earlier = earlier_in(self.earlier, vehicle) if self.earlier is not None else None
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
            KeysIn(
                clean_line(keys["order"]),
                vehicle,
                who,
                self.now(),
                order=order,
                figures=self.shop.figures,
                mentor=mentor,
                earlier=earlier,
            ),
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
