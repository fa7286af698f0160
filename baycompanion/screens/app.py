"""The app: one board, one job at a time, two themes, and a way out that loses nothing."""

import os
import signal
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path

from textual.app import App, SystemCommand
from textual.binding import Binding
from textual.events import Event, Key, MouseDown, Resize
from textual.filter import NoColor
from textual.screen import Screen
from textual.widgets import Input

from baycompanion.job.draft import Person
from baycompanion.screens.board import BoardScreen
from baycompanion.screens.code_reader import CodeReader
from baycompanion.screens.form import FormScreen
from baycompanion.screens.job import JobScreen
from baycompanion.screens.pictures import ready_for_pictures
from baycompanion.screens.themes import BAY_DARK, BAY_LIGHT, THEMES
from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH, TooSmallScreen
from baycompanion.store.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.parts import no_field_for


def local_now() -> datetime:
    """Return the moment it is, in the zone of this machine, so that screens show the wall clock."""
    return datetime.now().astimezone()


class BayApp(App[int]):
    """Shows the bay board, or one job."""

    TITLE = "baycompanion"
    ENABLE_COMMAND_PALETTE = True
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (32, "-high")]
    CSS_PATH = "app.tcss"
    BINDINGS = [
        Binding("ctrl+q", "quit", "Leave", show=False, priority=True, id="app.quit"),
        Binding("ctrl+p", "command_palette", "By name", show=False, id="app.palette"),
    ]

    def __init__(
        self,
        shop: Shop | None,
        folder: Path | None = None,
        who: Person | None = None,
        now: Callable[[], datetime] = local_now,
        review: Sequence[Path] = (),
        preview: Path | None = None,
    ) -> None:
        """Show the board of `shop`, or with `folder` that job at once, opened by `who`.

        With `review`, the shops in these folders are reviewed, and no board is shown;
        with `preview`, the procedure in that file is shown.
        """
        without_colour = _no_colour_wanted()
        super().__init__()
        if without_colour:
            self._filters.append(NoColor())
        self._shop = shop
        self._review = review
        self._preview = preview
        self.now = now
        self.failure: Exception | None = None
        """An unforeseen error that ended the app."""
        self._folder = folder
        self._who = who
        self._reader = CodeReader()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = BAY_DARK.name

    def on_mount(self) -> None:
        """Show the board, and the job in front of it if one was asked for."""
        self._listen_to_signals()
        if self._review:
            from baycompanion.screens.review import ReviewScreen  # with the audit, and only here

            self.push_screen(ReviewScreen(self._review, self.now, alone=True))
            return
        if self._preview is not None:
            from baycompanion.screens.preview import PreviewScreen  # only here

            self.push_screen(PreviewScreen(self._preview, self.now))
            return
        self.push_screen(BoardScreen(self.shop, self.now))
        if self._folder is not None:
            self.call_after_refresh(self._open_first)

    @property
    def shop(self) -> Shop:
        """The shop whose jobs are shown; a review alone has none."""
        assert self._shop is not None
        return self._shop

    def _open_first(self) -> None:
        assert self._folder is not None
        error = self.open_job(self._folder, self._who)
        if error and isinstance(self.screen, BoardScreen):
            self.screen.say(error)

    def _listen_to_signals(self) -> None:
        """Leave the terminal as it was when the system ends the program, where it can tell."""
        if os.name == "nt" or self.is_headless:  # tests keep the signals of their runner
            return
        import asyncio

        loop = asyncio.get_running_loop()
        for name in (signal.SIGTERM, signal.SIGHUP):
            loop.add_signal_handler(name, self.exit, 0)

    def open_job(self, folder: Path, who: Person | None) -> str | None:
        """Open the job in `folder` in front; return the sentence that says why not, or None."""
        try:
            person = who or self._technician_of(folder)
            job = OpenJob(folder, self.shop.lists, person, self.now())
        except (StoreTrouble, BadFile) as trouble:
            return str(trouble).splitlines()[0]
        covered = isinstance(self.screen, TooSmallScreen)
        if covered:
            self.pop_screen()
        self.push_screen(JobScreen(self.shop, job, self.now, who))
        if covered:
            self.push_screen(TooSmallScreen())
        return None

    def _technician_of(self, folder: Path) -> Person:
        from baycompanion.store.job_folder import read_job

        return self.shop.known(read_job(folder).state.technician)

    # --- codes that come where no field stands ---------------------------------------------------

    async def on_event(self, event: Event) -> None:
        """Hold keys back, before any widget sees them, while they may be a code that is read."""
        if isinstance(event, Key | MouseDown):
            self._touch()
        if not isinstance(event, Key) or event.is_forwarded:
            await super().on_event(event)
            return
        if self._reader.ends(event):
            await self._give_held()
            return
        if event.is_printable and not self._types_in_field:
            self._reader.hold(event)
            await self._give_repeated_or_wait(event)
            return
        await self._give_held()
        await super().on_event(event)

    def _touch(self) -> None:
        """Tell the job in front, or behind a form, that somebody is there."""
        for screen in self.screen_stack:
            if isinstance(screen, JobScreen):
                screen.work.seat.touch()

    @property
    def _types_in_field(self) -> bool:
        """Whether typing goes into a field; a form hands on what is typed for its next one."""
        return isinstance(self.focused, Input) or isinstance(self.screen, FormScreen)

    async def _give_repeated_or_wait(self, key: Key) -> None:
        """Give what is held once no key has come after `key`; those already here come before."""
        if self._reader.repeats:
            await self._give_held()
            return

        async def give() -> None:
            if self._reader.last_is(key):
                await self._give_held()

        if self.is_headless:  # what types without a terminal has every key of a burst there at once
            self.call_later(give)
        else:
            self.set_timer(self._reader.wait, lambda: self.call_later(give))

    async def _give_held(self) -> None:
        code, keys = self._reader.give()
        for key in keys:
            await super().on_event(key)
        if code:
            self._say_read(code)

    def _say_read(self, code: str) -> None:
        """Say what was read, and which step takes it; nothing is answered by it."""
        self.bell()
        if isinstance(self.screen, JobScreen):
            self.screen.say_read(code)
        else:
            self.notify(no_field_for(code), markup=False)

    def on_resize(self, event: Resize) -> None:
        """Cover everything while the window is too small to answer in."""
        small = event.size.width < LEAST_WIDTH or event.size.height < LEAST_HEIGHT
        covered = isinstance(self.screen, TooSmallScreen)
        if small and not covered:
            self.push_screen(TooSmallScreen())
        elif covered and not small:
            self.pop_screen()

    def _handle_exception(self, error: Exception) -> None:
        """Leave the screen before anything is told: the library would show every value it held."""
        if self.is_headless:  # a test is told by the library
            super()._handle_exception(error)
            return
        self.failure = self.failure or error
        self.exit(1)

    def switch_ground(self) -> None:
        """Change between the dark theme and the light one."""
        self.theme = BAY_LIGHT.name if self.theme == BAY_DARK.name else BAY_DARK.name

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Offer every action of the screen by name in the command palette."""
        for binding in screen.active_bindings.values():
            shown = binding.binding
            if shown.id and shown.show:
                yield SystemCommand(
                    shown.description,
                    f"Key {shown.key}",
                    lambda action=shown.action: self.call_later(screen.run_action, action),
                )
        yield SystemCommand("Light or dark", "Change the theme", self.switch_ground)
        yield SystemCommand("Leave", "Nothing is lost", self.action_quit)

    async def action_quit(self) -> None:
        """Leave; what was done is on the disk already."""
        for screen in self.screen_stack:
            if isinstance(screen, JobScreen):
                screen.give_back()
        self.exit(0)


def _no_colour_wanted() -> bool:
    """Return whether NO_COLOR is set and not empty, and hide it from the library.

    The library takes even an empty one for a wish, and then only turns colours to greys.
    """
    return bool(os.environ.pop("NO_COLOR", ""))


def run_board(shop: Shop) -> int:
    """Show the bay board of `shop`; return the exit code."""
    return _run(BayApp(shop))


def run_job(shop: Shop, folder: Path, who: Person | None) -> int:
    """Show the job in `folder`; return the exit code."""
    return _run(BayApp(shop, folder, who))


def run_review(folders: Sequence[Path]) -> int:
    """Review the shops in `folders`; return the exit code."""
    return _run(BayApp(None, review=folders))


def run_preview(path: Path) -> int:
    """Show the screens of the procedure in the file at `path`; return the exit code."""
    return _run(BayApp(None, preview=path))


def _run(app: BayApp) -> int:
    ready_for_pictures()
    app.run()
    if app.failure is not None:
        raise app.failure  # the command tells of it in one sentence
    return app.return_code or 0
