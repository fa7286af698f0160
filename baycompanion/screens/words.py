"""A text on a screen that changes: drawn anew only where it says something else.

To update a text makes the library lay the whole screen out again, whatever it says; here only one
that takes other room than before does.
"""

from textual.content import Content
from textual.geometry import Size
from textual.reactive import Reactive
from textual.widget import Widget
from textual.widgets import Static


class Words(Static):
    """Says something, or nothing, and then takes no room."""

    # A text does not scroll. As the library (8.2.8) has it, one of another height than before lays
    # the whole screen out a second time.
    virtual_size = Reactive(Size(0, 0), repaint=False)

    # There are no links in a text; without this the library (8.2.8) looks for their colours.
    auto_links = Reactive(False)

    def __init__(self, name: str) -> None:
        """Say nothing yet."""
        super().__init__("", id=name, markup=False)
        self.display = False
        self._said = Content("")

    def say(self, words: str | Content) -> None:
        """Say `words`, as they are."""
        said = Content(words) if isinstance(words, str) else words
        if said.is_same(self._said):
            return
        as_high = bool(self._said) and self._takes_as_much(said)
        self._said = said
        self.update(said, layout=not as_high)
        self.display = bool(said)

    def _takes_as_much(self, said: Content) -> bool:
        """Return whether `said` has just the lines that the text has room for now."""
        room = self.content_size
        return bool(room) and said.get_height(self.styles.get_rules(), room.width) == room.height


def put(on: Widget, name: str, words: str | Content) -> None:
    """Say `words` in the text of that name on the screen or pane `on`."""
    on.query_one(f"#{name}", Words).say(words)
