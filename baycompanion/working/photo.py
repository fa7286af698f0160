"""The form that adds a photo: by its path, or the newest from the watched folder."""

from collections.abc import Mapping
from pathlib import Path

from baycompanion.store.open_job import OpenJob
from baycompanion.store.photos import copy_photo, newest_picture
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card import Deed, Field, Form, Piece
from baycompanion.working.dropped import dropped_path


def photo_form(shop: Shop, job: OpenJob) -> Form[Deed]:
    """Ask for a picture; an empty answer takes the newest from the shop's watched folder."""

    def make(given: Mapping[str, str]) -> Deed:
        typed = given["path"].strip()
        try:
            if not typed and shop.watched is None:
                raise ValueError("Type a path: the shop has no watched folder in shop.yaml.")
            source = dropped_path(typed) if typed else newest_picture(Path(str(shop.watched)))
            return Deed(copy_photo(source, job.photos))
        except StoreTrouble as trouble:
            raise ValueError(str(trouble)) from None

    watched = f"Empty takes the newest picture in {shop.watched}." if shop.watched else ""
    lead = (Piece("label", watched),) if watched else ()
    field = Field(
        "path",
        "Path of the picture",
        hint="typed, or dropped here",
        may_be_empty=shop.watched is not None,
    )
    return Form("Photo", (field,), make, lead, accept="Add")
