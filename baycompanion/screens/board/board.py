"""The bay board: the jobs under way, those that ended lately, and the start of a new one."""

from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import OptionList, Static

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.kinds import Opened
from baycompanion.screens.board.ahead import load_ahead
from baycompanion.screens.board.due_reading import DueRead, read_due
from baycompanion.screens.board.frame import BOARD_KEYS, board_parts, board_title
from baycompanion.screens.board.ledger_mending import LedgerMended, mend
from baycompanion.screens.board.lines_keeping import keep_lines
from baycompanion.screens.board.list import show_lines
from baycompanion.screens.board.past_reading import PastRead, read_past
from baycompanion.store.job.journal import NAME, read_ends
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.board.line import BoardLine
from baycompanion.working.board.reading import BoardRead, board_lines, read_board

if TYPE_CHECKING:  # what a key needs is loaded when it is pressed, and not before the list stands
    from baycompanion.job.record.past_job import PastJob
    from baycompanion.screens.board.found import Deed
    from baycompanion.views.card.card import Form
    from baycompanion.working.start import Keys, Starting


class BoardScreen(Screen[None]):
    """Lists the jobs of a shop."""

    CSS_PATH = "board.tcss"
    AUTO_FOCUS = "#jobs"
    BINDINGS = [*BOARD_KEYS]
    more = (
        ("Work out a sum…", "sum"),
        ("How long the phases took…", "phases"),
        ("Read the jobs again", "refresh"),
        ("Light or dark", "ground"),
    )
    """What the menu offers, and the action of each."""

    def __init__(
        self,
        shop: Shop,
        now: Callable[[], datetime],
        read: BoardRead,
        in_hand: str = "",
    ) -> None:
        """List the jobs of `shop` as they were `read`; `now` is the clock.

        The line that opens `in_hand` is in hand, where there is one.
        """
        super().__init__()
        self.shop = shop
        self.now = now
        self._read = read
        """The jobs as they were read last."""
        self._in_hand = in_hand
        """What the line opens that is to be in hand next; empty where the list itself knows."""
        self._lines: tuple[BoardLine, ...] = ()
        self._due: Mapping[str, int] = {}
        """Questions that are due, by staff id; read after the first frame."""
        self._past: Mapping[str, tuple[PastJob, ...]] = {}
        """Ended jobs by procedure, read once, after the first frame."""
        self._opened: Path | None = None
        """The job opened last from this board."""

    def compose(self) -> ComposeResult:
        """Lay the board out."""
        yield from board_parts(board_title(self.shop.name))

    def _procedures(self) -> frozenset[str]:
        """Return every procedure that a job on the list follows: more of them may be begun."""
        return self._read.procedures

    @on(LedgerMended)
    def _ledger_mended(self, event: LedgerMended) -> None:
        self.say(event.why_not)

    @on(PastRead)
    def _past_read(self, event: PastRead) -> None:
        self._past = event.past
        if any(event.past.values()):
            self._show()

    @on(DueRead)
    def _due_read(self, event: DueRead) -> None:
        if event.due != self._due:
            self._due = event.due
            self._show()

    def on_screen_resume(self) -> None:
        """Show the jobs, and read them anew on the way back from one.

        What the first list goes without is read after it, so that it does not take its turns.
        """
        if self._lines:
            self.action_refresh()
            return
        self._show()
        self._read_beside()
        mend(self, self.shop, self.now)
        read_past(self, self.shop, self._procedures)
        load_ahead(self)

    def action_refresh(self) -> None:
        """Read the jobs again, and what is due of those who learn."""
        self._read = read_board(self.shop.jobs)
        self._show()
        self._read_beside()

    def _read_beside(self) -> None:
        """Read what is due, and keep what was listed, without anybody waiting for it."""
        read_due(self, self.shop, self.now)
        keep_lines(self, self.shop, self.now)

    def _show(self) -> None:
        """Show the jobs that were read, and keep in hand what was, wherever it stands now."""
        jobs = self.query_one("#jobs", OptionList)
        at = jobs.highlighted
        if self._lines and at is not None and not self._in_hand:
            self._in_hand = self._lines[at].opens
        self._lines = board_lines(self._read, self.now(), self._past, self._due)
        place = self._place_of(self._in_hand)
        show_lines(jobs, self._lines, at if place is None else place)
        if self.is_current:  # behind a job that was just started, its line is still to come
            self._in_hand = ""

    def _place_of(self, opens: str) -> int | None:
        places = (n for n, line in enumerate(self._lines) if opens and line.opens == opens)
        return next(places, None)

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        line = self._lines[event.option_index]
        if not line.opens:
            return
        self.say("")
        if line.kind == "due":
            self.action_learning(line.opens)
        else:
            self._open_or_ask(self.shop.jobs / line.opens)

    def _open_or_ask(self, folder: Path) -> None:
        if self._opened in (None, folder):
            self.open(folder)
        else:
            self._ask_for_vehicle(folder)

    def _ask_for_vehicle(self, folder: Path) -> None:
        """Name the vehicle and ask again, where another one was in front before.

        A job that takes no more entries is only looked at: the vehicle in front stays the same.
        """
        from baycompanion.screens.form.form import ask
        from baycompanion.views.forms.job_forms import vehicle_form

        try:
            first, end = read_ends(folder / NAME)
        except StoreTrouble as trouble:
            self.say(str(trouble))
            return
        if not end.takes_more:
            self.say(self.app.open_job(folder, None) or "")  # type: ignore[attr-defined]
            return
        opened = first.data
        assert isinstance(opened, Opened)
        form = vehicle_form(opened.work_order, opened.vehicle.description)
        ask(self.app, form, lambda _: None, lambda: self.open(folder))

    def open(self, folder: Path, who: Person | None = None) -> None:
        """Open the job in `folder` on its own screen, or say why it cannot be."""
        error = self.app.open_job(folder, who)  # type: ignore[attr-defined]
        if error:
            self.say(error)
        elif not self.app.only_reads:  # type: ignore[attr-defined] # read, it was not in hand
            self._opened = folder
            self._in_hand = folder.name

    def say(self, message: str) -> None:
        """Show one sentence below the list."""
        self.query_one("#board-message", Static).update(message)

    def action_new(self) -> None:
        """Ask for a new job, make it, and open it."""
        from baycompanion.working.start import Starting

        starting = Starting(self.shop, self.now)
        try:
            form = starting.form()
        except StoreTrouble as trouble:  # the procedures cannot be looked through
            self.say(str(trouble))
        else:
            self._ask_start(starting, form)

    def _ask_start(self, starting: "Starting", form: "Form[Keys]") -> None:
        from baycompanion.screens.form.form import ask

        def started() -> None:
            if starting.folder is not None:
                self.open(starting.folder, starting.who)

        ask(self.app, form, starting.take, started)

    def action_came_back(self) -> None:
        """Begin a comeback from the ended job that is in hand, or find the one that it is."""
        at = self.query_one("#jobs", OptionList).highlighted
        line = self._lines[at] if at is not None else None
        if line is not None and line.kind == "ended":
            self._come_back_from(self.shop.jobs / line.opens)
        else:
            from baycompanion.views.board.finding import ELSE_TO_COME_BACK, came_back_form

            self._find(came_back_form(), ELSE_TO_COME_BACK, "come back")

    def _come_back_from(self, earlier: Path) -> None:
        """Ask for a job on the vehicle of the ended job in `earlier`, and open it."""
        from baycompanion.working.start import Starting

        starting = Starting(self.shop, self.now)
        try:
            form = starting.comeback_form(earlier)
        except StoreTrouble as trouble:
            self.say(str(trouble))
            return
        self._ask_start(starting, form)

    def action_find(self) -> None:
        """Find an ended job by its plate, VIN or work order, and open it to be read."""
        from baycompanion.views.board.finding import ELSE_TO_FIND, find_form

        self._find(find_form(), ELSE_TO_FIND, "open")

    def _find(self, form: "Form[str]", otherwise: str, by_enter: "Deed") -> None:
        """Ask `form`, and show what it finds, which Enter does `by_enter` with."""
        from baycompanion.screens.board.found import Chosen, FoundScreen
        from baycompanion.screens.form.form import ask
        from baycompanion.working.board.finding import Finding

        finding = Finding(self.shop.jobs, otherwise)

        def chosen(choice: Chosen | None) -> None:
            if choice is None:
                return
            folder = self.shop.jobs / choice.folder
            if choice.deed == "find again":
                self._find(form, otherwise, by_enter)
            elif choice.deed == "come back":
                self._come_back_from(folder)
            else:
                self._open_or_ask(folder)

        def show() -> None:
            self.app.push_screen(FoundScreen(finding, by_enter), chosen)

        self.say("")
        ask(self.app, form, finding.take, show)

    def action_sum(self) -> None:
        """Work out a sum of the trade; no job keeps it."""
        from baycompanion.screens.sums import BenchSums

        BenchSums(self.app, self.shop.figures, None, lambda kept: None).choose()

    def action_review(self) -> None:
        """Show what an audit of this shop finds; anybody may look."""
        from baycompanion.screens.looking_back.review import (
            ReviewScreen,  # with the audit, and only here
        )

        self.app.push_screen(ReviewScreen([self.shop.folder], self.now))

    def action_phases(self) -> None:
        """Look how long the phases took in the jobs that were closed."""
        from baycompanion.screens.looking_back.phase_times import PhaseTimesScreen

        self.app.push_screen(PhaseTimesScreen(self.shop.folder))

    def action_learning(self, who: str = "") -> None:
        """Show what there is to learn to whoever has the id `who`, or ask who it is."""
        from baycompanion.screens.learning.learning import LearningScreen  # with the scheduler

        self.app.push_screen(LearningScreen(self.shop, self.now, who))

    def action_more(self) -> None:
        """Offer everything else."""
        from baycompanion.screens.menu import offer_more

        offer_more(self, self.more)

    def action_ground(self) -> None:
        """Change between the light and the dark theme."""
        self.app.switch_ground()  # type: ignore[attr-defined]

    def action_help(self) -> None:
        """Say what the keys do."""
        from baycompanion.screens.help import help_page
        from baycompanion.screens.page import Page

        self.app.push_screen(Page(help_page()))
