"""The form that adds a photo: by its path, or the newest from the watched folder."""

from collections.abc import Mapping
from pathlib import Path

from baycompanion.job.actions import AddPhoto
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.photos import copy_photo, newest_picture
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import NEWEST_PICTURE, Deed, Field, Form, Piece
from baycompanion.working.dropped import dropped_path


def take_picture(shop: Shop, job: OpenJob, typed: str) -> AddPhoto:
    """Copy the picture at the path `typed` into `job`, or the newest from the watched folder.

    Raises:
        ValueError: With one sentence: there is none, or it cannot be copied.
    """
    path = typed.strip()
    newest = path in ("", NEWEST_PICTURE)
    try:
        if newest and shop.watched is None:
            raise ValueError("Type a path: the shop has no watched folder in shop.yaml.")
        source = _newest(Path(str(shop.watched))) if newest else dropped_path(path)
        return copy_photo(source, job.photos)
    except StoreTrouble as trouble:
        raise ValueError(str(trouble)) from None


def _newest(watched: Path) -> Path:
    """Return the newest picture in `watched`; where there is none, say what else can be done."""
    try:
        return newest_picture(watched)
    except StoreTrouble as trouble:
        raise StoreTrouble(
            f"{trouble} Type the path of the picture, or put the folder right in shop.yaml."
        ) from None


def photo_form(shop: Shop, job: OpenJob) -> Form[Deed]:
    """Ask for a picture; an empty answer takes the newest from the shop's watched folder."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(take_picture(shop, job, given["path"]))

    watched = f"Empty takes the newest picture in {shop.watched}." if shop.watched else ""
    lead = (Piece("label", watched),) if watched else ()
    field = Field(
        "path",
        "Path of the picture",
        hint="typed, or dropped here",
        may_be_empty=shop.watched is not None,
    )
    return Form("Photo", (field,), make, lead, accept="Add")
