"""The panels of a vehicle's body and cabin that a drawing shows, and the fields of each."""

from typing import Literal, get_args

Panel = Literal[
    "front-bumper",
    "hood",
    "windshield",
    "roof",
    "rear-window",
    "trunk-lid",
    "rear-bumper",
    "left-front-fender",
    "left-front-door",
    "left-rear-door",
    "left-rear-fender",
    "left-mirror",
    "left-windows",
    "left-front-wheel",
    "left-rear-wheel",
    "right-front-fender",
    "right-front-door",
    "right-rear-door",
    "right-rear-fender",
    "right-mirror",
    "right-windows",
    "right-front-wheel",
    "right-rear-wheel",
    "dash-top",
    "left-dash",
    "dash-centre",
    "right-dash",
    "steering-wheel",
    "console",
    "left-front-seat",
    "right-front-seat",
    "rear-seat",
    "load-floor",
    "left-door-trim",
    "right-door-trim",
    "headliner",
    "carpet",
]
"""A panel of the drawing. Left and right are the vehicle's own, looking ahead from the seat."""

PANELS: tuple[Panel, ...] = get_args(Panel)

SidePlace = Literal[
    "upper front",
    "upper middle",
    "upper rear",
    "middle front",
    "middle",
    "middle rear",
    "lower front",
    "lower middle",
    "lower rear",
]
FacePlace = Literal[
    "upper left",
    "upper middle",
    "upper right",
    "middle left",
    "middle",
    "middle right",
    "lower left",
    "lower middle",
    "lower right",
]
FlatPlace = Literal[
    "front left",
    "front middle",
    "front right",
    "middle left",
    "middle",
    "middle right",
    "rear left",
    "rear middle",
    "rear right",
]
PanelPlace = Literal[SidePlace, FacePlace, FlatPlace]
"""One of nine fields of a panel; which nine depends on how the panel lies."""

_LYING: tuple[Panel, ...] = (
    "hood",
    "roof",
    "trunk-lid",
    "dash-top",
    "console",
    "load-floor",
    "headliner",
    "carpet",
)
_ACROSS: tuple[Panel, ...] = (
    "front-bumper",
    "windshield",
    "rear-window",
    "rear-bumper",
    "left-mirror",
    "right-mirror",
    "left-dash",
    "dash-centre",
    "right-dash",
    "steering-wheel",
    "left-front-seat",
    "right-front-seat",
    "rear-seat",
)


def places_of(panel: Panel | None) -> tuple[PanelPlace, ...]:
    """Return the nine fields of `panel`, upper or front row first.

    A side has height and length, a panel that lies has length and width, and one that faces ahead
    or behind has height and width. A line without a panel of the drawing is taken for the last.
    """
    if panel in _LYING:
        return get_args(FlatPlace)
    return get_args(FacePlace if panel is None or panel in _ACROSS else SidePlace)
