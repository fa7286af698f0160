"""The bay board before its shop is read: title and keys at once, then what lines are known of it.

It is moved in these lines. What a key opens waits until the shop is read, and so does every key
after it.
"""

import asyncio
import contextlib
from collections.abc import Callable, Coroutine, Sequence
from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.events import Key
from textual.screen import Screen
from textual.widgets import OptionList, Static

from baycompanion.screens.board.list import show_lines
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing

if TYPE_CHECKING:
    from baycompanion.store.shop import Shop
    from baycompanion.views.board.line import BoardLine
    from baycompanion.working.board.keeping import BoardShown
    from baycompanion.working.board.reading import BoardRead

    Shows = Callable[[Shop, BoardRead, str, Sequence[Key]], Coroutine[Any, Any, None]]
    """Takes the shop, its jobs, what the line in hand opens, and what was pressed meanwhile."""

MOVES = frozenset({"up", "down", "pageup", "pagedown", "home", "end"})
"""The keys that move in a list."""

ENTER = Key("enter", "\r")

BOARD_KEYS = [
    Binding("n", "new", "Start", id="board.new"),
    Binding("c", "came_back", "Comeback", id="board.came-back"),
    Binding("f", "find", "Find", id="board.find"),
    Binding("r", "refresh", "Refresh", show=False, id="board.refresh"),
    Binding("f10,equals_sign", "sum", "Sums", show=False, id="board.sum"),
    Binding("v", "review", "Review", id="board.review"),
    Binding("p", "phases", "Times", show=False, id="board.phases"),
    Binding("l", "learning", "Learning", id="board.learning"),
    Binding("f1", "help", "Help", id="board.help"),
    Binding("f9", "more", "More", id="board.more"),
    Binding("q", "app.quit", "Leave", id="board.quit"),
]


def board_title(shop: str) -> str:
    """Return the title of the board of the shop called `shop`."""
    return f"BAY BOARD · {shop}"


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

    def __init__(
        self,
        until_read: "Callable[[], BoardShown | None]",
        opens: "Callable[[], Shop]",
        show: "Shows",
    ) -> None:
        """Show what is known `until_read`, read the shop by `opens`, and hand it all to `show`."""
        super().__init__()
        self._until_read = until_read
        self._opens = opens
        self._show = show
        self._lines: tuple[BoardLine, ...] = ()
        """Those that are known, once they stand."""
        self._moves = False
        """Whether it is moved in them."""
        self._pressed: list[Key] = []

    def compose(self) -> ComposeResult:
        """Lay the board out as it will stand."""
        yield from board_parts("BAY BOARD")

    def on_mount(self) -> None:
        """Begin to read once the first frame is painted."""
        self.call_after_refresh(self.run_worker, self._read, thread=True)

    def takes(self, key: Key) -> bool:
        """Return whether `key` moves in lines that stand, and no key before it waits."""
        return self._moves and not self._pressed and key.key in MOVES

    def keep(self, key: Key) -> None:
        """Keep a key that was pressed before there was anything to press it on.

        Nothing is kept after an Enter on a line: nobody has seen what it opens.
        """
        if not (self._lines and any(each.key == ENTER.key for each in self._pressed)):
            self._pressed.append(key)

    @on(OptionList.OptionSelected)
    def _touched(self) -> None:
        """Keep a click or a touch on a line, which has taken it in hand, as an Enter."""
        if not self._pressed:
            self.keep(ENTER)

    def _read(self) -> None:
        """Load the rest of the program and read the shop; what is wrong with it ends the app."""
        app = self.app
        try:
            shown = self._until_read()
            if shown is not None:
                app.call_from_thread(self._stand, shown)  # type: ignore[arg-type]
            import baycompanion.screens.board.board  # noqa: F401 - in this thread, where nobody waits
            from baycompanion.working.board.reading import read_board

            shop = self._opens()
            read = read_board(shop.jobs)
        except Exception as error:
            app.call_from_thread(app.fail, error)  # type: ignore[attr-defined]
            return
        app.call_from_thread(self._hand_over, shop, read)  # type: ignore[arg-type]

    async def _stand(self, shown: "BoardShown") -> None:
        """Show what is known, and return once it is painted; all else takes time from that."""
        if not self.is_attached:  # left meanwhile
            return
        self._lines, self._moves = shown.lines, True
        if shown.shop:
            self.query_one("#board-title", Static).update(board_title(shown.shop))
        show_lines(self.query_one("#jobs", OptionList), shown.lines, None)
        painted = asyncio.Event()
        self.call_after_refresh(painted.set)
        with contextlib.suppress(TimeoutError):  # covered, it is not painted
            await asyncio.wait_for(painted.wait(), 1)

    async def _hand_over(self, shop: "Shop", read: "BoardRead") -> None:
        """Show the board itself, with the same job in hand."""
        self._moves = False
        at = self.query_one("#jobs", OptionList).highlighted
        in_hand = self._lines[at].opens if at is not None else ""
        await self._show(shop, read, in_hand, self._pressed)
