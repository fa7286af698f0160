"""Shown while the window is too small to answer in; what was typed waits underneath."""

from collections.abc import Callable
from typing import Any

from textual.app import App, ComposeResult
from textual.await_complete import AwaitComplete
from textual.events import Resize
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

LEAST_WIDTH = 64
LEAST_HEIGHT = 21
"""Own choice: 80 by 24 is what every screen is made for, and a little less is taken, as below the
status line of a terminal that is shared. At 60 by 20 keys would be out of sight."""


class TooSmallScreen(ModalScreen[None]):
    """Takes no answer; goes by itself when the window has grown."""

    CSS_PATH = "too_small.tcss"

    def compose(self) -> ComposeResult:
        """Say what to do."""
        yield Static(
            f"This window is too small. Make it at least {LEAST_WIDTH} by {LEAST_HEIGHT}; "
            "80 by 24 is good. Nothing is lost.",
            id="too-small",
            markup=False,
        )


class CoveredApp(App[int]):
    """An app that is covered while its window is too small, whatever comes and goes below.

    Keys that were pressed just before can still bring a form, or end one.
    """

    def on_resize(self, event: Resize) -> None:
        """Cover everything while the window is too small to answer in."""
        small = event.size.width < LEAST_WIDTH or event.size.height < LEAST_HEIGHT
        if small and not self._covered:
            super().push_screen(TooSmallScreen())
        elif self._covered and not small:
            super().pop_screen()

    @property
    def _covered(self) -> bool:
        return isinstance(self.screen, TooSmallScreen)

    def push_screen(self, *args: Any, **more: Any) -> Any:
        """Put a screen in front, below the cover."""
        return self._below_cover(super().push_screen, *args, **more)

    def pop_screen(self) -> AwaitComplete:
        """Take the screen in front away, the one below the cover."""
        popped: AwaitComplete = self._below_cover(super().pop_screen)
        return popped

    def switch_screen(self, screen: Screen[Any] | str) -> AwaitComplete:
        """Put a screen in the place of the one in front, below the cover."""
        switched: AwaitComplete = self._below_cover(super().switch_screen, screen)
        return switched

    def _below_cover(self, change: Callable[..., Any], *args: Any, **more: Any) -> Any:
        if not self._covered:
            return change(*args, **more)
        super().pop_screen()
        changed = change(*args, **more)
        super().push_screen(TooSmallScreen())
        return changed
