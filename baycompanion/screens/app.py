"""The app: one board, one job at a time, two themes, and a way out that loses nothing."""

import asyncio
import os
import signal
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import SystemCommand
from textual.binding import Binding
from textual.css.query import NoMatches
from textual.driver import Driver
from textual.events import Event, Key, MouseDown, MouseUp
from textual.filter import NoColor
from textual.message import Message
from textual.screen import ModalScreen, Screen
from textual.theme import Theme

from baycompanion.screens.board.frame import BoardFrame
from baycompanion.screens.double_touch import DoubleTouch
from baycompanion.screens.styled_once import StyledOnceApp
from baycompanion.screens.themes import BAY_DARK, BAY_LIGHT, THEMES
from baycompanion.screens.typed.door import LEAVE, TypedDoor
from baycompanion.working.wall_clock import local_now

if TYPE_CHECKING:  # the frame of the board is painted before the rest of the program is loaded
    from baycompanion.job.deciding.draft import Person
    from baycompanion.screens.job.job import JobScreen
    from baycompanion.store.shop import Shop
    from baycompanion.store.trouble import StoreTrouble
    from baycompanion.text.problem import BadFile
    from baycompanion.working.board.keeping import BoardShown
    from baycompanion.working.board.reading import BoardRead

TOUCHED_AGAIN = "A second touch came at once, and answers nothing here. Read, then touch."

_NAMED = {theme.name: theme for theme in THEMES}


class BayApp(StyledOnceApp):
    """Shows the bay board, or one job."""

    TITLE = "baycompanion"
    ENABLE_COMMAND_PALETTE = True
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (32, "-high")]
    CSS_PATH = "app.tcss"
    BINDINGS = [
        Binding(LEAVE, "quit", "Leave", show=False, priority=True, id="app.quit"),
        Binding("ctrl+z", "suspend_process", "To the shell", show=False, id="app.suspend"),
        Binding("ctrl+p", "command_palette", "By name", show=False, id="app.palette"),
    ]

    def __init__(
        self,
        shop: "Shop | None",
        folder: Path | None = None,
        who: "Person | None" = None,
        now: Callable[[], datetime] = local_now,
        alone: Callable[[], Screen[None]] | None = None,
        first: Callable[["BayApp"], None] | None = None,
        opens: "Callable[[], Shop] | None" = None,
        until_read: "Callable[[datetime], BoardShown | None]" = lambda now: None,
    ) -> None:
        """Show the board of `shop`, or with `folder` that job at once, opened by `who`.

        With `alone`, no board is shown but the screen that this makes, and leaving it ends the app.
        `first` is done in front of the board, once it stands, where it is no job that is opened.
        With `opens`, the board is that of the shop which this opens behind its frame; until then
        it shows what is known of it `until_read`.
        """
        without_colour = _no_colour_wanted()
        super().__init__()
        if without_colour:
            self._filters.append(NoColor())
        self._shop = shop
        self._alone = alone
        self.now = now
        self.failure: Exception | None = None
        """An unforeseen error that ended the app."""
        self.only_reads = False
        """Whether the job opened last can only be read."""
        self._folder = folder
        self._who = who
        self._first = first
        self._opens = opens
        self._until_read = until_read
        self._door = TypedDoor(self, super().on_event)
        self._double_touch = DoubleTouch()
        self._shown_job = False
        """Whether a job was ever in front; until then its screens need not be loaded to know."""
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = BAY_DARK.name

    def on_mount(self) -> None:
        """Show the board, and the job in front of it if one was asked for."""
        self._listen_to_signals()
        if self._opens is not None:
            shown = self._until_read
            frame = BoardFrame(lambda: shown(self.now()), self._opens, self._show_board)
            self._door.keep_in(frame)
            self.push_screen(frame)
            return
        self.screen_change_signal.subscribe(self, self._label_practice)
        if self._alone is not None:
            self.push_screen(self._alone(), lambda _: self.exit(0))
            return
        from baycompanion.screens.board.board import BoardScreen
        from baycompanion.working.board.reading import read_board

        self.push_screen(BoardScreen(self.shop, self.now, read_board(self.shop.jobs)))
        if self._folder is not None:
            self.call_after_refresh(self.open_or_say, self._folder, self._who)
        elif self._first is not None:
            self.call_after_refresh(self._first, self)

    async def _show_board(
        self, shop: "Shop", read: "BoardRead", in_hand: str, pressed: Sequence[Key]
    ) -> None:
        """Show the board of `shop` where its frame stood, and press what was pressed meanwhile.

        Where what was `in_hand` there is on the list no more, nothing is pressed: on another line
        it would open another job.
        """
        from baycompanion.screens.board.board import BoardScreen

        self._shop = shop
        self.screen_change_signal.subscribe(self, self._label_practice)
        board = BoardScreen(shop, self.now, read, in_hand)
        await self.switch_screen(board)
        stands = not in_hand or read.lists(in_hand)
        if not stands:
            board.say("The list has changed meanwhile. Look again.")
        self._door.give_kept(pressed if stands else ())

    @property
    def shop(self) -> "Shop":
        """The shop whose jobs are shown; a review or a preview alone has none."""
        assert self._shop is not None
        return self._shop

    def open_or_say(self, folder: Path, who: "Person | None") -> None:
        """Open the job in `folder` in front of the board, which says why where it cannot be."""
        from baycompanion.screens.board.board import BoardScreen

        error = self.open_job(folder, who)
        if error and isinstance(self.screen, BoardScreen):
            self.screen.say(error)

    def get_driver_class(self) -> type[Driver]:
        """Return what reads and writes the terminal: the library's own, made to last on POSIX."""
        chosen = super().get_driver_class()
        if chosen.__module__ != "textual.drivers.linux_driver":  # Windows, or one chosen by name
            return chosen
        from baycompanion.screens.typed.terminal_driver import TerminalDriver

        return TerminalDriver

    def _listen_to_signals(self) -> None:
        """Leave the terminal as it was when the system ends the program, where it can tell."""
        if os.name == "nt" or self.is_headless:  # tests keep the signals of their runner
            return
        loop = asyncio.get_running_loop()
        for name in (signal.SIGTERM, signal.SIGHUP):
            loop.add_signal_handler(name, self.leave_keeping_all)

    def open_job(self, folder: Path, who: "Person | None") -> str | None:
        """Open the job in `folder` in front, or show as much of it as can be read.

        Returns the sentence that says why not even that can be, or None.
        """
        from baycompanion.screens.job.job import JobScreen
        from baycompanion.store.job.open_job import OpenJob
        from baycompanion.store.trouble import StoreTrouble
        from baycompanion.text.problem import BadFile
        from baycompanion.working.at_work import AtWork

        self.only_reads = False
        try:
            person = who or self._technician_of(folder)
            job = OpenJob(folder, self.shop.lists, person, self.now())
        except (StoreTrouble, BadFile) as trouble:
            return self._only_read(folder, who, trouble)
        self.put_in_front(JobScreen(AtWork(self.shop, job, self.now, who)))
        return None

    def _only_read(
        self, folder: Path, who: "Person | None", trouble: "StoreTrouble | BadFile"
    ) -> str | None:
        from baycompanion.screens.job.only_reading import OnlyReadingScreen  # few jobs need it
        from baycompanion.store.trouble import StoreTrouble
        from baycompanion.text.problem import BadFile
        from baycompanion.working.only_reading import OnlyReading

        try:
            reading = OnlyReading(self.shop, folder, trouble, self.now)
        except (StoreTrouble, BadFile):
            return str(trouble).splitlines()[0]
        self.put_in_front(OnlyReadingScreen(reading, who))
        self.only_reads = True
        return None

    def put_in_front(self, screen: Screen[None]) -> None:
        """Show a job in front."""
        self._shown_job = True
        self.push_screen(screen)

    def _label_practice(self, screen: Screen[object]) -> None:
        """Say on every screen in front of a practice, whatever it is for, that it is practice."""
        if any(each.job.is_practice for each in self._jobs_open):
            from baycompanion.screens.learning.practice_label import label  # few jobs are practice

            label(screen)

    def own_place(self, form: str) -> Path | None:
        """Return where what is half typed in `form`, which belongs to no job, is kept."""
        from baycompanion.store.job.draft import own_place

        return own_place(self._shop.folder if self._shop is not None else None, form)

    def _technician_of(self, folder: Path) -> "Person":
        from baycompanion.store.job.folder import read_job

        return self.shop.known(read_job(folder).state.technician)

    async def on_event(self, event: Event) -> None:
        """Let what is typed in by its door, and all else as the library has it."""
        if isinstance(event, Key | MouseDown):
            self._touch()
        if isinstance(event, MouseDown | MouseUp) and not event.is_forwarded:
            screen: Screen[object] = self.screen
            if self._double_touch.drops(event, screen):
                if screen in self._jobs_open and self._double_touch.came_on(screen):
                    self.say_here(TOUCHED_AGAIN)
                return
        await self._door.take(event)

    def post_message(self, message: Message) -> bool:
        """Put `message` among those that the app looks at, in their order."""
        self._door.hand_up(message)
        return super().post_message(message)

    @property
    def is_left(self) -> bool:
        """Whether the app was told to leave, and takes its screens away."""
        return self._exit

    def _touch(self) -> None:
        """Tell the job in front, or behind a form, that somebody is there."""
        for screen in self._jobs_open:
            screen.work.seat.touch()

    def say_here(self, sentence: str) -> None:
        """Say why what was typed or sent did nothing, on whatever screen is in front."""
        from baycompanion.screens.job.job import JobScreen

        self.bell()
        if isinstance(self.screen, JobScreen):
            self.screen.call_later(self.screen.say, sentence, "bad")  # it may not stand yet
        else:
            self.notify(sentence, markup=False)

    def _handle_exception(self, error: Exception) -> None:
        """Leave the screen before anything is told: the library would show every value it held.

        A screen that is closed before it stands is told all the same that it does, without a
        widget in it; who leaves in that moment leaves as in any other.
        """
        if self.is_left and isinstance(error, NoMatches):
            return
        if self.is_headless:  # a test is told by the library
            super()._handle_exception(error)
            return
        self.fail(error)

    def fail(self, error: Exception) -> None:
        """Leave with an error, which the command tells of in one sentence."""
        self.failure = self.failure or error
        self.exit(1)

    @property
    def current_theme(self) -> Theme:
        """The theme in force; the library (8.2.8) copies the list of all for each row it paints."""
        return _NAMED.get(self.theme) or super().current_theme

    def switch_ground(self) -> None:
        """Change between the dark theme and the light one."""
        self.theme = BAY_LIGHT.name if self.theme == BAY_DARK.name else BAY_DARK.name

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Offer every action of the screen by name in the command palette, and a job's menu."""
        for binding in screen.active_bindings.values():
            shown = binding.binding
            if shown.id and shown.show and shown.action != "app.quit":  # which stands below
                yield SystemCommand(
                    shown.description,
                    f"Key {shown.key}",
                    lambda action=shown.action: self.call_later(screen.run_action, action),
                )
        if screen in self._jobs_open:
            for entry in screen.menu_entries:
                if entry.does != "ground":  # which stands below, on every screen
                    choose = partial(screen.choose, entry.does)
                    yield SystemCommand(entry.label, "Key f9", partial(self.call_later, choose))
        for label, action in getattr(screen, "more", ()):
            if action != "ground":
                run = partial(screen.run_action, action)
                yield SystemCommand(label, "Key f9", partial(self.call_later, run))
        yield SystemCommand("Light or dark", "Change the theme", self.switch_ground)
        yield SystemCommand("Leave", "Nothing is lost", self.action_quit)

    async def action_quit(self) -> None:
        """Leave; what was done is on the disk already."""
        self.leave_keeping_all()

    def leave_keeping_all(self) -> None:
        """Leave, whoever or whatever says so; what is half typed is kept first."""
        self._keep_forms()
        for screen in self._jobs_open:
            screen.give_back()
        self.exit(0)

    def _keep_forms(self) -> None:
        """Keep what is half typed in forms; one of a job, before the job is given back."""
        for screen in self.screen_stack:
            if isinstance(screen, ModalScreen):
                from baycompanion.screens.form.form import FormScreen

                if isinstance(screen, FormScreen):
                    screen.keep()

    def action_suspend_process(self) -> None:
        """Stop, as Ctrl+Z does everywhere, until the shell lets the program go on."""
        if not _has_shell_behind():
            self.say_here("There is no shell behind this window to go to.")
            return
        self._keep_forms()
        for screen in self._jobs_open:
            screen.keep_half_typed()
        super().action_suspend_process()

    @property
    def _jobs_open(self) -> "list[JobScreen]":
        """The jobs that are shown or lie behind a form."""
        if not self._shown_job:
            return []
        from baycompanion.screens.job.job import JobScreen

        return [screen for screen in self.screen_stack if isinstance(screen, JobScreen)]


def _no_colour_wanted() -> bool:
    """Return whether NO_COLOR is set and not empty, and hide it from the library.

    The library takes even an empty one for a wish, and then only turns colours to greys.
    """
    return bool(os.environ.pop("NO_COLOR", ""))


def _has_shell_behind() -> bool:
    """Return whether a shell waits that can let the program go on once it has stopped.

    A window opened for this program alone has none: stopped, it would stand still for good.
    """
    return os.name != "nt" and os.getpgrp() != os.getsid(0)
