"""Keys one after the other: each is given once the one before has done all that it does.

The library gives a letter to the field at once. A key with a binding goes up from the field to the
app before it does anything, and letters that come meanwhile overtake it: on a busy machine “12”,
Backspace, “3” became “123”, and Down with Enter chose the line that was in hand before.
"""

from collections import deque
from collections.abc import Awaitable, Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.events import Key
from textual.message_pump import MessagePump

if TYPE_CHECKING:
    from baycompanion.screens.app import BayApp

LONGEST = 1.0
"""Seconds after which the next key is given in any case. Own choice: no key takes that long."""


class OneByOne:
    """Gives keys to the screen in front, each after the one before."""

    def __init__(
        self,
        app: "BayApp",
        let_in: Callable[[Key], Sequence[Key]],
        give: Callable[[Key], Awaitable[None]],
    ) -> None:
        """Give keys of `app` by `give`, which hands them to the library.

        `let_in` returns the keys that are to be given now, once one more has come: it may be held
        back itself, and let others go. It is asked only once what came before is through, for that
        may have put a form in front, and there no key is held.
        """
        self._app = app
        self._let_in = let_in
        self._to_library = give
        self._coming = deque[Key]()
        """Those that came while another was on its way."""
        self._waiting = deque[Key]()
        """Those that are to be given, before any that is coming."""
        self._on_its_way: Key | None = None
        self._first: MessagePump = app
        """Where the key on its way began."""
        self._followed: Key | None = None
        """The key that others have begun to wait for."""
        self._at_app: Key | None = None
        """The key that the app is to look at, or looks at; once it has, that key is through."""

    async def take(self, key: Key) -> None:
        """Let `key` in now, or as soon as those before it are through."""
        self._coming.append(key)
        await self._go_on()

    async def give(self, keys: Sequence[Key]) -> None:
        """Give `keys`, which were held, before any that has come after them."""
        self._waiting.extend(keys)
        await self._go_on()

    def hand_up(self, key: Key) -> None:
        """Take note that the app is to look at `key`, for which no widget had a use.

        The screen has marked it as stopped by then, as a widget marks one that it has used.
        """
        self._at_app = key

    async def come_up(self, key: Key) -> None:
        """Let the app do what `key` does there, which was handed up to it."""
        await self._to_library(key)
        self._at_app = None
        self._through(key)

    async def _go_on(self) -> None:
        while self._has_more and not self._is_under_way:
            if not self._waiting:
                self._waiting.extend(self._let_in(self._coming.popleft()))
                continue
            key = self._waiting.popleft()
            self._first = self._app.focused or self._app.screen
            await self._to_library(key)
            self._on_its_way = key if key.is_forwarded else None  # else the app has done it
        waited_for = self._on_its_way
        if self._has_more and waited_for is not None and waited_for is not self._followed:
            self._followed = waited_for
            self._follow(waited_for, self._first)
            self._app.set_timer(LONGEST, partial(self._give_up, waited_for))

    @property
    def _has_more(self) -> bool:
        return bool(self._waiting or self._coming)

    @property
    def _is_under_way(self) -> bool:
        """Whether the last key has still to be looked at; a widget that took it has stopped it."""
        key = self._on_its_way
        return key is not None and (key is self._at_app or not key._stop_propagation)

    def _follow(self, key: Key, at: MessagePump) -> None:
        """Ask at each widget on the way of `key`, behind it, whether it goes on from there."""
        if not at.call_later(self._came_past, key, at):
            self._app.call_later(self._through, key)  # this one has gone meanwhile

    def _came_past(self, key: Key, at: MessagePump) -> None:
        above = at._parent
        if above is None or key._stop_propagation:
            self._through(key)
        else:
            self._follow(key, above)

    def _give_up(self, key: Key) -> None:
        if self._at_app is key:
            self._at_app = None
        self._through(key)

    def _through(self, key: Key) -> None:
        if self._on_its_way is key and self._at_app is not key:
            self._on_its_way = None
            if self._has_more:
                self._app.call_later(self._go_on)
