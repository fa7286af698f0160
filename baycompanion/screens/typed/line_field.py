"""The field for one line of text: cleaned before it is shown, and taken before the next key."""

from collections.abc import Callable
from typing import Any

from textual.content import Content
from textual.events import Key
from textual.geometry import Region
from textual.widgets import Input

from baycompanion.text.clean import clean

ENDS_LINE = ("enter", "ctrl+j")
"""What ends a line: Enter, and the line feed that some readers of codes send in its place."""


class LineField(Input):
    """An input that never holds what could do more to a terminal than be shown."""

    takes_line: Callable[[str], bool] | None = None
    """Called by Enter at once, and returns whether it took the line.

    The library's own message comes after keys already under way: a reader that types several
    lines in a burst would run them together.
    """

    def __init__(self, **more: Any) -> None:
        """Make a field; `more` is what the library's own takes.

        Nothing is selected where it gets the focus: the next letter would stand in place of all
        that is typed, be it after another window was in front, or half typed before.
        """
        super().__init__(select_on_focus=False, **more)

    def validate_value(self, value: str) -> str:
        """Return `value` cleaned, on one line."""
        return clean(value).replace("\n", " ")

    def on_resize(self) -> None:
        """Keep in sight where the next letter goes; the library (8.2.8) waits for that letter."""
        before = Content(self.value[: self.cursor_position]).cell_length
        self.scroll_to_region(Region(before, 0, 1, 1), force=True, animate=False)

    def on_key(self, event: Key) -> None:
        """Hand the line over before the key after Enter is looked at."""
        if event.key in ENDS_LINE and self.takes_line is not None and self.takes_line(self.value):
            event.stop()
            event.prevent_default()
