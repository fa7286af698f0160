"""A practice on the screen: the screen of a job, with a look at the made-up vehicle."""

from textual.binding import Binding
from textual.content import Content

from baycompanion.screens.job.job import JobScreen
from baycompanion.screens.page import Page
from baycompanion.screens.words import put
from baycompanion.views.card.card import Deed
from baycompanion.views.practice.cards import ASKED_FIRST
from baycompanion.working.practice.practising import AtPractice

KEYS = (
    ("F12, l", "look, measure, try or count at the made-up vehicle; l not in a field"),
    ("arrows", "to another step, which 1 begins now, in its place or not"),
    ("1 to 6", "what comes next, where that is asked"),
)
"""What keys do in practice alone."""

NO_PHOTO = "In practice there is nothing to be pictured, and no step asks for a photo."


class PracticeScreen(JobScreen):
    """Walks a person through one practice."""

    CSS_PATH = "../job/job.tcss"
    BINDINGS = [
        # A field takes the letter for itself, and some terminals take F12: between them both work.
        Binding("f12,l", "see", "Look", id="practice.see"),
        Binding("f3", "photo", "Photo", show=False, id="practice.photo"),
    ]

    def __init__(self, practice: AtPractice) -> None:
        """Show `practice`, with the why of each step open."""
        super().__init__(practice)
        self.practice = practice
        self._with_why = True

    def show(self) -> None:
        """Bring every part in line; what would tell the next step is hidden while it is asked."""
        super().show()
        hidden = self.practice.hides_order
        self.set_class(hidden, "-order-hidden")
        if hidden:
            put(self, "gate", "")
        if self.job.ended:
            self.say("Esc leaves.")

    def action_see(self) -> None:
        """Look, measure, try or count at the made-up vehicle."""
        look = self.practice.look
        if isinstance(look, Deed):
            self.doing.do(look)
        else:
            self.say(look)

    def action_press(self, pressed: str) -> None:
        """Do what `pressed` stands for; a number chooses what comes next."""
        card = self.card
        if card.kind == "next" and pressed.isdecimal() and 1 <= int(pressed) <= len(card.rows):
            self.doing.do(card.rows[int(pressed) - 1].keys[0].does)
        else:
            super().action_press(pressed)

    def action_look(self, by: int) -> None:
        """Look at the step before or after, unless that would tell what is asked."""
        if self.practice.hides_order:
            self.say(ASKED_FIRST)
        else:
            super().action_look(by)

    def action_photo(self) -> None:
        """Say that no photo is asked for."""
        self.say(NO_PHOTO)

    def action_help(self) -> None:
        """Say what the keys do, those of practice first."""
        from baycompanion.screens.help import help_page

        head = Content.styled("In practice\n", "bold")
        keys = [
            Content.assemble((f"{key:<8}", "bold $label-word"), f"{does}\n") for key, does in KEYS
        ]
        self.app.push_screen(Page(Content.assemble(head, *keys, "\n", help_page())))

    def action_return(self) -> None:
        """Go back to the one thing to do now, or leave where the practice has ended."""
        if self.job.ended and self._looking is None:
            self.leave()
        else:
            super().action_return()
