"""A job to read: the card, the sequence beside it, and why nothing can be answered here."""

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.screen import Screen

from baycompanion.job.deciding.draft import Person
from baycompanion.screens.job.card_pane import CardPane
from baycompanion.screens.job.sequence import Sequence
from baycompanion.screens.job.standing import StandingStrip
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.words import Words, put
from baycompanion.views.card import place
from baycompanion.views.card.card import Card
from baycompanion.working.only_reading import OnlyReading

EVERY = 2.0
"""Seconds between two looks at whether the job went on elsewhere."""


class OnlyReadingScreen(Screen[None]):
    """Shows a job that cannot be opened here, and follows it while it goes on elsewhere."""

    CSS_PATH = ["job.tcss", "only_reading.tcss"]
    AUTO_FOCUS = ""
    BINDINGS = [
        Binding("up", "look(-1)", "Look back", id="reading.up"),
        Binding("down", "look(1)", "Look ahead", id="reading.down"),
        Binding("f8", "why", "Why", id="reading.why"),
        Binding("o", "open", "Try to open", id="reading.open"),
        Binding("escape", "back", "Back", id="reading.back"),
        Binding("enter", "return", "To the step now", show=False, id="reading.return"),
        Binding("pageup", "scroll_card(-1)", show=False, id="reading.pageup"),
        Binding("pagedown", "scroll_card(1)", show=False, id="reading.pagedown"),
    ]

    def __init__(self, reading: OnlyReading, who: Person | None) -> None:
        """Show the job of `reading`; `who` wanted to work on it."""
        super().__init__()
        self.reading = reading
        self._who = who
        self._looking: str | None = None
        self._with_why = False
        self._said = ""
        """Why it can only be read, as it stands there."""
        self._pane = CardPane()

    @property
    def card(self) -> Card:
        """What stands in the middle right now."""
        if self._looking is not None:
            return self.reading.look_card(self.reading.job.procedure.steps[self._looking])
        return self.reading.card

    def compose(self) -> ComposeResult:
        """Lay the screen out as that of the job."""
        yield Words("where")
        yield Words("phase")
        yield StandingStrip()
        with Horizontal(id="middle"):
            yield Sequence()
            yield self._pane
        yield Words("message")
        yield Words("last")
        yield KeyStrip()

    def on_mount(self) -> None:
        """Show the job, and follow it."""
        self.show()
        self.set_interval(EVERY, self.follow)

    def on_resize(self) -> None:
        """Find out anew how much of what must stay true has room."""
        self.query_one(StandingStrip).show(self.reading.job.procedure, self.reading.job.state)

    def follow(self) -> None:
        """Show the job anew if it went on elsewhere, or was left there."""
        if self.reading.follow() or self.reading.why != self._said:
            self.show()

    def show(self) -> None:
        """Bring every part of the screen in line with the job as it was read."""
        procedure, state = self.reading.job.procedure, self.reading.job.state
        put(self, "where", f"ONLY TO READ · {place.where(procedure, state)}")
        put(self, "phase", place.phase_line(procedure, state, self.reading.moment))
        self.query_one(StandingStrip).show(procedure, state)
        self._said = self.reading.why
        put(self, "message", self._said)
        put(self, "last", place.last_line(procedure, state))
        self.query_one(Sequence).show(place.sequence(procedure, state), self.card.step)
        self.query_one(Sequence).focus()
        self._show_card()

    def _show_card(self) -> None:
        card = self.card
        step = self.reading.job.procedure.steps.get(card.step or "")
        why = step.why if step is not None and self._with_why else None
        self._pane.show(card, why or "")

    @on(Sequence.Looked)
    def _looked(self, event: Sequence.Looked) -> None:
        self._look_at(event.step)

    def _look_at(self, step: str) -> None:
        self._looking = step if step != self.reading.job.state.current else None
        self.query_one(Sequence).turn_to(self.card.step)
        self._show_card()

    def action_look(self, by: int) -> None:
        """Look at the step before or after."""
        steps = list(self.reading.job.procedure.steps)
        at = self._looking or self.query_one(Sequence).now or steps[0]
        self._look_at(steps[min(max(steps.index(at) + by, 0), len(steps) - 1)])

    def action_return(self) -> None:
        """Go back to the step that the job stands at."""
        self._looking = None
        self.show()

    def action_why(self) -> None:
        """Show or hide why the step is done."""
        self._with_why = not self._with_why
        self.show()

    def action_scroll_card(self, by: int) -> None:
        """Scroll the card by a page."""
        self._pane.scroll_page(by)

    def action_open(self) -> None:
        """Try to open the job to work on it; where that fails again, it is read again."""
        folder, app = self.reading.folder, self.app
        self.dismiss(None)
        app.call_after_refresh(app.open_or_say, folder, self._who)  # type: ignore[attr-defined]

    def action_back(self) -> None:
        """Go back to the step that the job stands at, from there to the board."""
        if self._looking is None:
            self.dismiss(None)
        else:
            self.action_return()
