"""The form that adds a photo: by its path, or the newest from the watched folder."""

from collections.abc import Mapping
from pathlib import Path

from baycompanion.job.actions import AddPhoto
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.photos import copy_photo, newest_picture, photo_at
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import NEWEST_PICTURE, Deed, Field, Form, Piece
from baycompanion.working.dropped import dropped_path


def take_picture(shop: Shop, job: OpenJob, typed: str) -> AddPhoto:
    """Copy the picture at the path `typed` into `job`, or the newest from the watched folder.

    Raises:
        ValueError: With one sentence: there is none, or it cannot be copied.
    """
    try:
        return copy_photo(_source(shop, typed), job.photos)
    except StoreTrouble as trouble:
        raise ValueError(str(trouble)) from None


def _source(shop: Shop, typed: str) -> Path:
    """Return where the picture lies that was `typed`, which may be the newest.

    Raises:
        ValueError: The shop watches no folder.
        StoreTrouble: The folder holds no picture, or cannot be read.
    """
    path = typed.strip()
    if path not in ("", NEWEST_PICTURE):
        return dropped_path(path)
    if shop.watched is None:
        raise ValueError("Type a path: the shop has no watched folder in shop.yaml.")
    return _newest(shop.watched)


def _newest(watched: Path) -> Path:
    """Return the newest picture in `watched`; where there is none, say what else can be done."""
    try:
        return newest_picture(watched)
    except StoreTrouble as trouble:
        raise StoreTrouble(
            f"{trouble} Type the path of the picture, or put the folder right in shop.yaml."
        ) from None


def photo_form(shop: Shop) -> Form[Deed]:
    """Ask for a picture; an empty answer takes the newest from the shop's watched folder.

    It is copied by the deed: where that comes to nothing, as without a PIN, no file is left.
    """

    def make(given: Mapping[str, str]) -> Deed:
        typed = given["path"]
        try:
            return Deed(photo_at(_source(shop, typed)), picture=typed.strip() or NEWEST_PICTURE)
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
