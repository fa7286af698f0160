"""The keys of a card as buttons: each is pressed by its name, or by a touch."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import ItemGrid
from textual.content import Content
from textual.widgets import Button

from baycompanion.views.card.card import MOST_KEYS

MOST_TO_TOUCH = MOST_KEYS + 1
"""Those of a card, and the Enter of its field."""


class CardKeys(ItemGrid):
    """Shows what the keys are called."""

    def __init__(self) -> None:
        """Make it without keys."""
        super().__init__(id="keys", min_column_width=24, stretch_height=False)
        self._names: list[str] | None = None
        """What is shown, once anything is."""

    def compose(self) -> ComposeResult:
        """Make a button for each key that there may be."""
        for place in range(MOST_TO_TOUCH):
            yield Button("", id=f"key-{place}", compact=True)

    def show(self, names: Sequence[str]) -> bool:
        """Show a key for each of `names`, and return whether any was not called so before.

        What is called the same is not drawn anew.
        """
        if names == self._names:
            return False
        self._names = [*names]
        for place in range(MOST_TO_TOUCH):
            button = self.query_one(f"#key-{place}", Button)
            button.display = place < len(names)
            if place < len(names):
                button.label = Content(names[place])
        return True


def place_of(key: Button) -> int:
    """Return the place of a key among those that are shown; 0 is the first."""
    return int((key.id or "").removeprefix("key-"))
