"""The form that gives a job its splice plan, from connector files of the shop or by their paths."""

from collections.abc import Mapping

from baycompanion.store.connectors import find_connectors, list_connectors, read_plan
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.card.card import Deed, Field, Form, Piece


def plan_form(shop: Shop) -> Form[Deed]:
    """Ask for the connectors of the vehicle, the receiver and whatever else is joined."""

    def make(given: Mapping[str, str]) -> Deed:
        names = [name.strip() for name in given["files"].split(",") if name.strip()]
        if len(names) < 2:
            raise ValueError("A splice plan needs two connectors at least, with a comma between.")
        try:
            return Deed(read_plan(find_connectors(names, shop.connectors), shop.caps))
        except (StoreTrouble, BadFile) as trouble:
            raise ValueError(str(trouble).splitlines()[0]) from None

    known = ", ".join(list_connectors(shop.connectors))
    lead = (
        Piece("plain", "Name the connectors, or their files, with commas between."),
        *((Piece("label", f"In the shop: {known}"),) if known else ()),
    )
    fields = (Field("files", "Connectors", hint="vehicle, receiver, extras"),)
    return Form("Splice plan", fields, make, lead, accept="Take the plan")
