"""Room for the keys of a card: a list gives way that would push them out of sight."""

from textual.widget import Widget

LEAST_LINES = 3
"""Lines that a list keeps before the keys below it get lower. Own choice."""


def give_keys_room(pane: Widget, rows: Widget, keys: Widget) -> None:
    """Let `rows` and `keys` be as high as their styles say, unless keys are out of sight then."""
    pane.remove_class("-tight")
    rows.styles.clear_rule("max_height")
    pane.call_after_refresh(_find_room, pane, rows, keys)


def _find_room(pane: Widget, rows: Widget, keys: Widget) -> None:
    """Take the rows that `keys` lack from the list, which scrolls; keys do not.

    Where too little would be left of it, high keys become low ones first.
    """
    lacking = keys.region.bottom - pane.content_region.bottom
    left = rows.size.height - lacking if rows.display else 0
    high = pane.screen.has_class("-high") and not pane.has_class("-tight")
    if lacking > 0 and left < LEAST_LINES and high:
        pane.add_class("-tight")
        pane.call_after_refresh(_find_room, pane, rows, keys)
    elif lacking > 0:
        rows.styles.max_height = max(1, left)
