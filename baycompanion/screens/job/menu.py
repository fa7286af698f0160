"""Everything a job offers besides its one thing to do: a list to choose from."""

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing
from baycompanion.views.card.card import Deed, Form
from baycompanion.views.card.menu import MenuEntry, Service


class JobMenu(ModalScreen[Form[Deed] | Service | None]):
    """A list of entries; dismissed with what the chosen one does."""

    CSS_PATH = "menu.tcss"
    BINDINGS = [
        Binding("escape,f9", "back", "Back", id="menu.back"),
        *(
            Binding(str(digit), f"choose({digit})", "Choose", show=False, id=f"menu.{digit}")
            for digit in range(10)
        ),
    ]

    def __init__(self, entries: Sequence[MenuEntry]) -> None:
        """Offer `entries` by number."""
        super().__init__()
        self._entries = entries

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        with Vertical(id="menu"):
            yield Static("More", markup=False)
            yield Listing(
                *(
                    Option(Content(f"{number}  {entry.label}"))
                    for number, entry in enumerate(self._entries, start=1)
                ),
                id="menu-list",
                compact=True,
            )
            yield KeyStrip()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._entries[event.option_index].does)

    def action_choose(self, number: int) -> None:
        """Choose by number; 0 stands for 10."""
        if (number or 10) <= len(self._entries):
            self.dismiss(self._entries[(number or 10) - 1].does)

    def action_back(self) -> None:
        """Choose nothing."""
        self.dismiss(None)
