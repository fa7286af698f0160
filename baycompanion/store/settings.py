"""The settings of a shop: what `shop.yaml` may say, and what it says first."""

from pathlib import Path
from typing import Annotated

from pydantic import AfterValidator, Field

from baycompanion.procedure.fields import LONGEST_LINE, Line
from baycompanion.store.reading import read_text
from baycompanion.store.staff.staff import MOST_TIMES
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.text.entries import check_line
from baycompanion.text.problem import BadFile, Problem, quoted
from baycompanion.text.to_model import Written, place_of, to_model, wrong
from baycompanion.text.yaml_nodes import read_yaml
from baycompanion.trade.figures import Figures, Region

SETTINGS = "shop.yaml"

FADE_AFTER = 3
"""So many times right in a row shorten a trainee's step where the shop says nothing. Own choice:
once may be luck and twice a good mentor; at three, somebody has done it on three vehicles."""

FIRST_TEXT = """\
# The settings of this shop. Lines that begin with # are remarks.
name: This shop

# Reasons that may be given for opening a shut gate. The reason
# "this gate does not fit this vehicle" is always there too.
reasons:
  - part on order, owner agreed to wait
  - measured another way
  - owner refused the work

# What the shop promises, a line each; it stands on every hand-over sheet.
# warranty:
#   - Our work is guaranteed for 12 months. Bring this sheet.

# Minutes without a key after which a job locks: it can be read then, and not answered until its
# technician signs on. Only whoever has a PIN in staff.yaml is locked out.
# lock-after: 10

# A trainee's step is shown in fewer words once they did it right so many times in a row, and after
# twice as many as its sentence alone; 0 is never. Cautions, gates, limits and tools always stay.
# "baycompanion staff fade" sets it for one of them.
# fade-after: 3

# Months that a trainee's release lasts where whoever signs it names no day.
# release-months: 12

# A folder in which new pictures appear; the newest can be added by one key. One that does not
# begin with a slash or a drive lies in the shop folder.
# photos: /path/to/pictures

# Where the radios are tuned: us, itu1 (Europe, Africa), itu2 (the rest of the Americas),
# itu3 (Asia, Oceania) or japan. Stations are then held against the grid of that region.
# region: us

# The splice caps on your shelf, each with its name and the least and the most copper that it
# holds by its maker, in circular mils. The sum "splice" then says which of them to take.
# These two are made up: write your own.
# caps:
#   - small 700-3000
#   - grey 1500-6500
"""


def _check_cap(text: str) -> str:
    from baycompanion.trade.splicing import read_cap  # most shops give none

    try:
        return str(read_cap(text))
    except ValueError:
        raise wrong(
            f"{quoted(text)} is no cap",
            "Write its name and its least and most circular mils, from 100 to 500000, "
            "like grey 1500-6500",
        ) from None


def _check_caps(caps: tuple[str, ...]) -> tuple[str, ...]:
    from baycompanion.trade.splicing import MOST_CAPS

    if len(caps) > MOST_CAPS:
        raise wrong(f"These are {len(caps)} caps", f"Keep {MOST_CAPS} at most, those in use")
    return caps


Cap = Annotated[str, AfterValidator(_check_cap)]


def _check_name(text: str) -> str:
    return check_line(text, LONGEST_LINE, "Write what the shop is called", "Write less")


def _check_folder(text: str) -> str:
    line = check_line(text, LONGEST_LINE, _PICTURES, _PICTURES)
    try:
        return str(typed_path(line))
    except StoreTrouble as trouble:
        what, _, instead = str(trouble).rstrip(".").rpartition(". ")
        raise wrong(what, instead) from None


_PICTURES = "Write the folder in which new pictures appear, or put # before this line"


MOST_MONTHS = 60
"""Months that a release may last. Own choice: whoever has not been watched for five years has
forgotten, or the work has changed."""


class Settings(Written):
    """The settings file."""

    name: Annotated[str, AfterValidator(_check_name)] = "This shop"
    reasons: tuple[Line, ...] = ()
    warranty: tuple[Line, ...] = ()
    lock_after: Annotated[int, Field(ge=1, le=240)] = 10
    fade_after: Annotated[int, Field(ge=0, le=MOST_TIMES)] = FADE_AFTER
    release_months: Annotated[int, Field(ge=1, le=MOST_MONTHS)] = 12
    photos: Annotated[str, AfterValidator(_check_folder)] | None = None
    """The folder in which new pictures appear, as it stands or from the shop folder on."""
    caps: Annotated[tuple[Cap, ...], AfterValidator(_check_caps)] = ()
    region: Region | None = None


def figures_of(folder: Path) -> Figures:
    """Return the own figures of the shop in `folder`, or none where no shop is; nothing is made.

    Raises:
        StoreTrouble: shop.yaml cannot be read.
        BadFile: It does not say what it should.
    """
    return own_figures(read_settings(folder)) if (folder / SETTINGS).exists() else {}


def own_figures(settings: Settings) -> Figures:
    """Return what the shop gives to the sums, each by the name that they know it by."""
    given = {"caps": ", ".join(settings.caps), "region": settings.region or ""}
    return {name: text for name, text in given.items() if text}


def read_settings(folder: Path) -> Settings:
    """Return what is set in the shop in `folder`.

    Raises:
        StoreTrouble: shop.yaml cannot be read.
        BadFile: It does not say what it should.
    """
    file = folder / SETTINGS
    node = read_yaml(read_text(file), str(file))
    settings = to_model(Settings, node)
    names = [cap.rpartition(" ")[0] for cap in settings.caps]
    for number, name in enumerate(names):
        if name.casefold() in map(str.casefold, names[:number]):
            place = place_of(node, ("caps", number))
            raise BadFile([Problem(place, f"“{name}” stands twice", "Give each cap its own name")])
    return settings
