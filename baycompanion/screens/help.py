"""What the keys do and what the signs mean, on one screen."""

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from baycompanion.views.marks import MARKS

_KEYS = (
    ("Enter", "do the one thing that stands there, or save the entry"),
    ("1 to 9", "the answers of this step, as the buttons say"),
    ("arrows", "look back and ahead; nothing moves"),
    ("Esc", "back to the step now, or out of a form"),
    ("Tab", "to the buttons, and to the sequence"),
    ("F2", "write a note"),
    ("F3", "add a photo"),
    ("F4", "pause: what is loose, and what comes first on return"),
    ("F5", "a fault was found"),
    ("F6", "reopen the step looked at, or the one finished last"),
    ("F7", "there is no answer of the usual kind: why"),
    ("F8", "why the step is done"),
    ("F9", "more: the board, hand over, clear a fault, light or dark"),
    ("Ctrl+P", "everything by name"),
    ("Ctrl+Q", "leave; nothing is lost"),
)


class HelpScreen(ModalScreen[None]):
    """Shown over any screen by F1."""

    CSS_PATH = "help.tcss"
    BINDINGS = [Binding("escape,f1,enter", "back", "Back", id="help.back")]

    def compose(self) -> ComposeResult:
        """Lay the page out."""
        with VerticalScroll(id="help"):
            yield Static(_page())

    def action_back(self) -> None:
        """Go back to the work."""
        self.dismiss(None)


def _page() -> Content:
    keys = [Content.assemble((f"{key:<8}", "bold $label-word"), f"{does}\n") for key, does in _KEYS]
    marks = [
        Content.assemble((f"{mark.sign} {mark.short:<5}", "bold $label-word"), f" {mark.word}\n")
        for mark in MARKS.values()
    ]
    head = Content.styled("Keys (Esc goes back)\n", "bold")
    return Content.assemble(head, *keys, ("\nMarks\n", "bold"), *marks)
