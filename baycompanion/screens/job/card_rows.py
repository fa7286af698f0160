"""The lines of a card as a list: Enter answers the line in hand, a touch takes one in hand."""

from textual.events import Click
from textual.message import Message

from baycompanion.screens.listing import Listing


class CardRows(Listing):
    """Tells a touch from Enter, which the library (8.2.8) takes for the same."""

    class Touched(Message):
        """The line at `index` was touched."""

        def __init__(self, index: int) -> None:
            """Say which line it was."""
            super().__init__()
            self.index = index

    def _on_click(self, event: Click) -> None:  # type: ignore[override]
        """Take the line that was touched in hand, in place of what the library does."""
        event.prevent_default()
        index = event.style.meta.get("option")
        if index is not None and index == self.went_down_on:
            self.highlighted = index
            self.post_message(self.Touched(index))
