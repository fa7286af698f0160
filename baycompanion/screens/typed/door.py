"""What is typed, on its way from the terminal to the screen in front: kept, held, pasted, given."""

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from typing import TYPE_CHECKING

from textual.events import Event, Key, Paste
from textual.message import Message
from textual.widgets import Input

from baycompanion.screens.board.frame import BoardFrame
from baycompanion.screens.too_small import TooSmallScreen
from baycompanion.screens.typed.code_reader import CodeReader
from baycompanion.screens.typed.one_by_one import OneByOne
from baycompanion.text.clean import clean

if TYPE_CHECKING:
    from baycompanion.screens.app import BayApp

LEAVE = "ctrl+q"
"""The key that leaves everywhere, also while a slow disk is read."""


class TypedDoor:
    """The door of the app for keys and pastes; all other events go through as they are."""

    def __init__(self, app: "BayApp", give: Callable[[Event], Awaitable[None]]) -> None:
        """Let in what is typed into `app`, by `give`, which is what the library does with it."""
        self._app = app
        self._to_library = give
        self._one_by_one = OneByOne(app, self._let_in_key, self._give_on_screen)
        self._reader = CodeReader()
        self._frame: BoardFrame | None = None
        """What keeps the keys until the board stands in its place."""
        self._early: list[Key] = []
        """Those that it kept; they come before any that is pressed now."""

    # --- before the board stands -----------------------------------------------------------------

    def keep_in(self, frame: BoardFrame) -> None:
        """Let `frame` keep the keys from now on."""
        self._frame = frame

    def give_kept(self, pressed: Sequence[Key]) -> None:
        """Keep no more keys, and give those `pressed` until now before any other."""
        self._frame, self._early = None, list(pressed)
        self._app.call_next(self._give_early)

    async def _give_early(self) -> None:
        while self._early:
            await self._let_in(self._early.pop(0))

    def hand_up(self, message: Message) -> None:
        """Take note of a key that comes back to the app, since no widget had a use for it."""
        if isinstance(message, Key) and message.is_forwarded:
            self._one_by_one.hand_up(message)

    async def take(self, event: Event) -> None:
        """Keep keys until the board stands, and give those that were kept before any other."""
        if isinstance(event, Key) and self._app.is_left:
            return  # its screens are being taken away, and whoever left means nothing here
        if not isinstance(event, Key) or event.is_forwarded:
            await self._let_in(event)
        elif self._frame is None:
            await self._give_early()
            await self._let_in(event)
        elif isinstance(self._app.screen, TooSmallScreen):
            await self._let_in(event)
        elif event.key == LEAVE:
            self._app.leave_keeping_all()
        elif self._frame.takes(event):
            await self._to_library(event)
        else:
            self._frame.keep(event)

    # --- into the screen in front ----------------------------------------------------------------

    async def _let_in(self, event: Event) -> None:
        if isinstance(event, Paste):
            await self._paste(event)
        elif not isinstance(event, Key):
            await self._to_library(event)
        elif event.is_forwarded:
            await self._one_by_one.come_up(event)
        else:
            await self._one_by_one.take(event)

    def _let_in_key(self, key: Key) -> Sequence[Key]:
        """Hold keys back, before any widget sees them, while they may be a code that is read."""
        if self._reader.ends(key):
            held = self._take_held()
            self._reader.end_with(key)
        elif self._reader.takes(key) and not self._takes_at_once:
            self._reader.hold(key)
            held = self._take_held() if self._reader.repeats else ()
        else:
            return [*self._take_held(), key]
        self._wait_after(key)
        return held

    async def _give_on_screen(self, key: Key) -> None:
        """Give `key` to the screen in front, once that is laid out and has what its keys act on.

        A key that the screen before has no use for can come here when the next is just in front.
        """
        while not self._app.screen.is_mounted:
            await asyncio.sleep(0)
        await self._to_library(key)

    async def _paste(self, event: Paste) -> None:
        """Put all lines that are pasted, as one and cleaned, into the field that has the focus.

        A field of the library takes the first line and drops the rest, and takes codes as they
        are. Nothing is entered by a paste: only a key that is pressed does that.
        """
        if isinstance(self._app.focused, Input):
            await self._to_library(Paste(clean(" ".join(event.text.splitlines()))))
            return
        from baycompanion.views.card.parts import PASTED_NOWHERE

        self._app.say_here(PASTED_NOWHERE)

    # --- codes that come where no field stands ---------------------------------------------------

    @property
    def _takes_at_once(self) -> bool:
        """Whether no key waits: where typing goes into a field, and where nothing takes any.

        A form hands on what is typed for its next field. What is typed into a window that is too
        small must not come out of it when it has grown.
        """
        from baycompanion.screens.form.form import FormScreen

        return isinstance(self._app.focused, Input) or isinstance(
            self._app.screen, FormScreen | TooSmallScreen
        )

    def _wait_after(self, key: Key) -> None:
        """Give what is held once no key has come after `key`; those already here come before."""

        async def give() -> None:
            if self._reader.last_is(key):
                await self._one_by_one.give(self._take_held())
                self._reader.rest()

        app = self._app
        if app.is_headless:  # what types without a terminal has every key of a burst there at once
            app.call_later(give)
        else:
            app.set_timer(self._reader.wait, lambda: app.call_later(give))

    def _take_held(self) -> Sequence[Key]:
        """Return the keys that were held, or none and say what was read."""
        code, keys = self._reader.give()
        if code:
            self._say_read(code)
        return keys

    def _say_read(self, code: str) -> None:
        """Say what was read, and which step takes it; nothing is answered by it."""
        from baycompanion.screens.job.job import JobScreen
        from baycompanion.views.card.parts import no_field_for

        screen = self._app.screen
        more = screen.takes_code(code) if isinstance(screen, JobScreen) else ""
        self._app.say_here(f"{no_field_for(code)} {more}".rstrip())
