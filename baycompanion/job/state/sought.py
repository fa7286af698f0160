"""Whether a job is the one sought by a plate, a VIN or a work order, in whole or in part."""

import re
import unicodedata

from baycompanion.job.events.kinds import Opened

_SET_APART = re.compile(r"[\W_]+")  # all that is neither letter nor digit, in any script


def bare(text: str) -> str:
    """Return the letters and digits of `text`, the same in either case.

    A plate is written with blanks or hyphens or without; nobody remembers which.
    """
    return _SET_APART.sub("", unicodedata.normalize("NFKC", text).casefold())


def fits(sought: str, opened: Opened) -> bool:
    """Return whether `sought` stands in the plate, the VIN or the work order of a job.

    What has neither letter nor digit fits none.
    """
    part = bare(sought)
    return bool(part) and any(part in bare(whole) for whole in _known_by(opened))


def fits_whole(sought: str, opened: Opened) -> bool:
    """Return whether `sought` is all of the plate, the VIN or the work order of a job."""
    return any(agrees(sought, whole) for whole in _known_by(opened))


def agrees(one: str, other: str) -> bool:
    """Return whether two plates, VINs or work orders are the same; nothing agrees with nothing."""
    return bare(one) == bare(other) != ""


def differs(one: str, other: str) -> bool:
    """Return whether two plates, VINs or work orders are known, and not the same."""
    return "" != bare(one) != bare(other) != ""


def _known_by(opened: Opened) -> tuple[str, str, str]:
    return opened.vehicle.plate, opened.vehicle.vin, opened.work_order
