"""Shown while the window is too small to answer in; what was typed waits underneath."""

from textual.app import ComposeResult
from textual.screen import ModalScreen
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
