"""The form that starts a job: procedure, work order, vehicle, and who takes the keys."""

from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from baycompanion.job.carried import Vehicle
from baycompanion.job.draft import Person
from baycompanion.store.job_folder import make_job
from baycompanion.store.shelf import find_procedure, list_procedures, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.taking import take_keys
from baycompanion.text.clean import clean_line
from baycompanion.views.card import Field, Form
from baycompanion.working.parts_order import order_at


class Begun(NamedTuple):
    """A job that was just made."""

    folder: Path
    who: Person
    """Who took the keys, with how they showed who they are."""


def start_form(shop: Shop, now: Callable[[], datetime]) -> Form[Begun]:
    """Ask what a new job needs; the answers make its folder."""

    def make(given: Mapping[str, str]) -> Begun:
        loaded = read_procedure(find_procedure(given["procedure"], shop.procedures))
        vehicle = Vehicle(
            description=clean_line(given["vehicle"]),
            vin=clean_line(given["vin"]).upper(),
            plate=clean_line(given["plate"]),
        )
        who = shop.prove(given["by"], given.get("pin", ""), now())
        mentor = take_keys(shop, who, loaded.procedure.procedure, given.get("mentor", "").strip())
        order = order_at(given["parts"])
        named = clean_line(given["order"])
        folder = make_job(
            shop.jobs, loaded, named, vehicle, who, now(), order, shop.figures, mentor
        )
        return Begun(folder, who)

    fields: tuple[Field, ...] = (
        Field("procedure", "Procedure", tuple(list_procedures(shop.procedures))),
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
        Field("by", "Technician", tuple(shop.staff)),
    )
    if any(person.role == "trainee" for person in shop.staff.values()):
        beside = Field("mentor", "Mentor", hint="beside a trainee; else empty", may_be_empty=True)
        fields = (*fields, beside)
    if any(member.pin for member in shop.members.values()):
        pin = Field("pin", "PIN", hint="empty where you have none", may_be_empty=True, secret=True)
        fields = (*fields, pin)
    return Form("Start a job", fields, make, accept="Start")
