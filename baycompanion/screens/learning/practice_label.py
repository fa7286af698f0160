"""The line that says on every screen of practice that it is practice."""

from textual.screen import Screen
from textual.widgets import Static

from baycompanion.views.practice.cards import LABEL


class PracticeLabel(Static):
    """One line above everything else, in words and not in colour alone."""

    DEFAULT_CSS = """
    PracticeLabel {
        dock: top;
        height: 1;
        padding: 0 1;
        text-wrap: nowrap;
        text-overflow: ellipsis;
        text-style: bold;
        color: $background;
        background: $warning-word;
    }
    """

    def __init__(self) -> None:
        """Say it."""
        super().__init__(LABEL, markup=False)


def label(screen: Screen[object]) -> None:
    """Put the line on `screen`, unless it is there."""
    if not screen.query(PracticeLabel):
        screen.mount(PracticeLabel())
