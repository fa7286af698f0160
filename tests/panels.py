"""The small procedure with a list of marks that has its place in the drawing."""

from bay import SMALL_TEXT

LINES = (
    ("hood", "Hood"),
    ("roof", "Roof"),
    ("left-front-door", "Left front door"),
    ("right-front-door", "Right front door"),
    ("dash-centre", "Dash centre"),
    ("console", "Console"),
)
"""The panels of the drawing that it asks for, in the order of the list."""

_OLD = (
    "          - {item: dash-panel, name: Dash panel}\n"
    "          - {item: door-panel, name: Door panel}\n"
)
_NEW = "".join(
    f"          - {{item: {name}, name: {said}, panel: {name}}}\n" for name, said in LINES
)

assert _OLD in SMALL_TEXT
PANELS_TEXT = SMALL_TEXT.replace(_OLD, f"{_NEW}          - {{item: tow-bar, name: Tow bar}}\n")
"""With a line at the end, the tow bar, that the drawing does not show."""
