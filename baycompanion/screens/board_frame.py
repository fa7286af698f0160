"""The bay board before its shop is read: title and keys at once, all that takes time after it."""

from collections.abc import Callable, Coroutine, Sequence
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.binding import Binding
from textual.events import Key
from textual.screen import Screen
from textual.widgets import Static

from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing

if TYPE_CHECKING:
    from baycompanion.store.shop import Shop

    Shows = Callable[[Shop, Sequence[Key]], Coroutine[Any, Any, None]]
    """Takes the shop, and what was pressed meanwhile."""

BOARD_KEYS = [
    Binding("n", "new", "Start", id="board.new"),
    Binding("c", "came_back", "Comeback", id="board.came-back"),
    Binding("r", "refresh", "Refresh", show=False, id="board.refresh"),
    Binding("f10", "sum", "Sums", id="board.sum"),
    Binding("equals_sign", "sum", "Sums", show=False, id="board.sum-sign"),
    Binding("v", "review", "Review", id="board.review"),
    Binding("p", "phases", "Times", id="board.phases"),
    Binding("l", "learning", "Learning", id="board.learning"),
    Binding("f1", "help", "Help", id="board.help"),
    Binding("f9", "ground", "Colours", show=False, id="board.ground"),
    Binding("q", "app.quit", "Leave", id="board.quit"),
]


def board_parts(title: str) -> ComposeResult:
    """Lay a board out under `title`."""
    yield Static(title, id="board-title", markup=False)
    yield Listing(id="jobs", compact=True)
    yield Static("", id="board-message", markup=False)
    yield KeyStrip()


class BoardFrame(Screen[None]):
    """Stands while the shop is read in a thread, and keeps the keys for the board to come."""

    CSS_PATH = "board.tcss"
    AUTO_FOCUS = "#jobs"
    BINDINGS = [*BOARD_KEYS]

    def __init__(self, opens: "Callable[[], Shop]", show: "Shows") -> None:
        """Read the shop by `opens`, and hand it to `show` with the keys pressed meanwhile."""
        super().__init__()
        self._opens = opens
        self._show = show
        self._pressed: list[Key] = []

    def compose(self) -> ComposeResult:
        """Lay the board out as it will stand."""
        yield from board_parts("BAY BOARD")

    def on_mount(self) -> None:
        """Begin to read once the first frame is painted."""
        self.call_after_refresh(self.run_worker, self._read, thread=True)

    def keep(self, key: Key) -> None:
        """Keep a key that was pressed before there was anything to press it on."""
        self._pressed.append(key)

    def _read(self) -> None:
        """Load the rest of the program and read the shop; what is wrong with it ends the app."""
        app = self.app
        try:
            import baycompanion.screens.board  # noqa: F401 - in this thread, where nobody waits

            shop = self._opens()
        except Exception as error:
            app.call_from_thread(app.fail, error)  # type: ignore[attr-defined]
            return
        app.call_from_thread(self._show, shop, self._pressed)  # type: ignore[arg-type]
