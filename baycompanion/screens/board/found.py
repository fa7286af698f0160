"""The ended jobs that were found: one is opened to be read, or a vehicle comes back from it."""

from typing import Literal, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.screen import Screen
from textual.widgets import OptionList, Static

from baycompanion.screens.board.list import show_lines
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing
from baycompanion.working.board.finding import Finding

Deed = Literal["open", "come back", "find again"]
"""What can be done with what was found."""

_BY_ENTER: dict[Deed, str] = {
    "open": "Enter opens one to be read",
    "come back": "Enter: the vehicle comes back from it",
}


class Chosen(NamedTuple):
    """What is to be done, and with the job in which folder."""

    deed: Deed
    folder: str


class FoundScreen(Screen[Chosen | None]):
    """Lists what was found; dismissed with what was chosen."""

    CSS_PATH = "found.tcss"
    AUTO_FOCUS = "#found"
    BINDINGS = [
        Binding("o", "choose('open')", "Open", id="found.open"),
        Binding("c", "choose('come back')", "Comeback", id="found.come-back"),
        Binding("f", "choose('find again')", "Find again", id="found.again"),
        Binding("f9", "ground", "Colours", show=False, id="found.ground"),
        Binding("escape,q", "back", "Back", id="found.back"),
    ]

    def __init__(self, finding: Finding, by_enter: Deed) -> None:
        """Show what `finding` has found; Enter, or a touch on a line, does `by_enter` with it."""
        super().__init__()
        self._finding = finding
        self._by_enter = by_enter
        self._lines = finding.lines

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        title = f"{self._finding.title}   ({_BY_ENTER[self._by_enter]})"
        yield Static(title, id="found-title", markup=False)
        yield Listing(id="found", compact=True)
        yield Static(self._finding.more, id="found-more", markup=False)
        yield KeyStrip()

    def on_mount(self) -> None:
        """List the jobs, the newest in hand."""
        show_lines(self.query_one("#found", OptionList), self._lines, None)

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        self.action_choose(self._by_enter)

    def action_choose(self, deed: Deed) -> None:
        """Do `deed` with the job in hand."""
        at = self.query_one("#found", OptionList).highlighted
        if at is not None:
            self.dismiss(Chosen(deed, self._lines[at].opens))

    def action_ground(self) -> None:
        """Change between the light and the dark theme."""
        self.app.switch_ground()  # type: ignore[attr-defined]

    def action_back(self) -> None:
        """Choose nothing."""
        self.dismiss(None)
