"""The strip of what must stay true: whole sentences, and where to read those without room."""

from textual.content import Content

from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.screens.words import Words
from baycompanion.views.card.place import standing_line, standing_strip, standing_words

SHARE = 6
"""The strip takes one line in so many of the screen, that the card below keeps its room."""


class StandingStrip(Words):
    """One line or a few, that stay on the screen in every view."""

    def __init__(self) -> None:
        """Make an empty strip."""
        super().__init__("standing")
        self.cut = False
        """Whether there was no room for all of it."""

    def show(self, procedure: Procedure, state: State) -> None:
        """Show what must stay true in `state`, as far as there is room."""
        width, height = self.screen.size
        inside = max(1, width - 2)

        def fits(text: str) -> bool:
            return len(Content(text).wrap(inside)) <= height // SHARE

        strip = standing_strip(procedure, state, fits)
        self.cut = strip != standing_line(procedure, state)
        self.say(strip)


def standing_page(procedure: Procedure, state: State) -> Content:
    """Return all that must stay true, one below the other."""
    head = Content.styled("What must stay true (arrows read on)\n", "bold")
    says = standing_words(procedure, state)
    return Content("\n").join((head, *(Content(f"! {words}") for words in says)))
