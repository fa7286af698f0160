"""Styles that one app under test has read, handed to the next: each would read the same text.

Some forty sheets make the look of an app, its own and the library's. Each is read when the app
starts and again for its theme, which is a sixth of what a start costs. What stands in them, and the
colours they are read with, tell them apart, so a sheet or a theme that differs is read as ever.
"""

from textual.css.model import RuleSet
from textual.css.stylesheet import CSSLocation, Stylesheet

_reads = Stylesheet._parse_rules
_READ: dict[object, list[RuleSet]] = {}
_COLOURS: tuple[object, frozenset[tuple[str, str]]] = ({}, frozenset())
"""The colours of the sheet that was read last, and as they tell sheets apart."""


def rules_once(
    sheet: Stylesheet,
    css: str,
    read_from: CSSLocation,
    is_default_rules: bool = False,
    tie_breaker: int = 0,
    scope: str = "",
) -> list[RuleSet]:
    """Return what the library reads in `css`, as it was read before where it was."""
    global _COLOURS
    if _COLOURS[0] is not sheet._variables:  # an app has some forty sheets and one set of colours
        _COLOURS = (sheet._variables, frozenset(sheet._variables.items()))
    key = (css, read_from, is_default_rules, tie_breaker, scope, _COLOURS[1])
    if key not in _READ:
        _READ[key] = _reads(sheet, css, read_from, is_default_rules, tie_breaker, scope)
    return _READ[key]
