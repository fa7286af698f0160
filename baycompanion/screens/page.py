"""A page to read over any screen, until a key or a touch goes back."""

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from baycompanion.screens.key_strip import KeyStrip


class Page(ModalScreen[None]):
    """Shows a text, which scrolls."""

    CSS_PATH = "page.tcss"
    BINDINGS = [Binding("escape,f1,enter", "back", "Back", id="page.back")]

    def __init__(self, text: Content) -> None:
        """Show `text`."""
        super().__init__()
        self._text = text

    def compose(self) -> ComposeResult:
        """Lay the page out."""
        with Vertical(id="page-window"):
            with VerticalScroll(id="page"):
                yield Static(self._text)
            yield KeyStrip()

    def action_back(self) -> None:
        """Go back to the work."""
        self.dismiss(None)
