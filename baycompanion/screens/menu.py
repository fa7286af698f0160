"""Everything a screen offers besides its keys: a list to choose from."""

from collections.abc import Sequence
from typing import Any, Generic, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen, Screen
from textual.widgets import OptionList, Static

from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing, by_digit

T = TypeVar("T")


class Menu(ModalScreen[T | None], Generic[T]):
    """A list of entries; dismissed with what the chosen one leads to."""

    CSS_PATH = "menu.tcss"
    BINDINGS = [
        Binding("escape,f9", "back", "Back", id="menu.back"),
        *(
            Binding(str(digit), f"choose({digit})", "Choose", show=False, id=f"menu.{digit}")
            for digit in range(10)
        ),
    ]

    def __init__(self, entries: Sequence[tuple[str, T]]) -> None:
        """Offer `entries` by number: what each is called, and what it leads to."""
        super().__init__()
        self._entries = entries

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        with Vertical(id="menu"):
            yield Static("More", markup=False)
            yield Listing(
                *by_digit(label for label, _ in self._entries),
                id="menu-list",
                compact=True,
            )
            yield KeyStrip()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._entries[event.option_index][1])

    def action_choose(self, number: int) -> None:
        """Choose by number; 0 stands for 10."""
        if (number or 10) <= len(self._entries):
            self.dismiss(self._entries[(number or 10) - 1][1])

    def action_back(self) -> None:
        """Choose nothing."""
        self.dismiss(None)


def offer_more(screen: Screen[Any], entries: Sequence[tuple[str, str]]) -> None:
    """Offer actions of `screen` that have no room among its keys, each by its name in words."""

    def chosen(action: str | None) -> None:
        if action is not None:
            screen.call_later(screen.run_action, action)

    screen.app.push_screen(Menu(entries), chosen)
