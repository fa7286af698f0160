"""The bay board: the jobs under way, those that ended lately, and the start of a new one."""

from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.job.draft import Person
from baycompanion.job.events import Opened
from baycompanion.job.past_job import PastJob
from baycompanion.screens.ahead import load_ahead
from baycompanion.screens.board_frame import BOARD_KEYS, board_parts
from baycompanion.screens.due_reading import DueRead, read_due
from baycompanion.screens.ledger_mending import LedgerMended, mend
from baycompanion.screens.past_reading import PastRead, read_past
from baycompanion.store.job_folder import JobListed, list_jobs, read_job
from baycompanion.store.journal import NAME, read_ends
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.board import board_row, due_line, ended_line

if TYPE_CHECKING:  # what a key needs is loaded when it is pressed, and not before the list stands
    from baycompanion.views.card import Form
    from baycompanion.working.start import Keys, Starting

MOST_ENDED = 12
"""Ended jobs that are listed."""


class BoardScreen(Screen[None]):
    """Lists the jobs of a shop."""

    CSS_PATH = "board.tcss"
    AUTO_FOCUS = "#jobs"
    BINDINGS = [*BOARD_KEYS]

    def __init__(self, shop: Shop, now: Callable[[], datetime]) -> None:
        """List the jobs of `shop`; `now` is the clock."""
        super().__init__()
        self.shop = shop
        self.now = now
        self._listed: list[JobListed | StoreTrouble] = []
        """The jobs as they were read last."""
        self._opens: list[Path | str | None] = []
        """What each line of the list opens: a job by its folder, or learning by a staff id."""
        self._ended: frozenset[Path] = frozenset()
        """The folders of the jobs listed that have ended."""
        self._due: Mapping[str, int] = {}
        """Questions that are due, by staff id; read after the first frame."""
        self._past: Mapping[str, tuple[PastJob, ...]] = {}
        """Ended jobs by procedure, read once, after the first frame."""
        self._opened: Path | None = None
        """The job opened last from this board."""

    def compose(self) -> ComposeResult:
        """Lay the board out."""
        yield from board_parts(f"BAY BOARD · {self.shop.name}")

    def _procedures(self) -> set[str]:
        """Return every procedure that a job on the list follows: more of them may be begun."""
        return {job.opened.procedure for job in self._listed if isinstance(job, JobListed)}

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
        """Read the jobs, at first and on the way back from one.

        What the first list goes without is read after it, so that it does not take its turns.
        """
        first = not self._opens
        self.action_refresh()
        if first:
            mend(self, self.shop, self.now)
            read_past(self, self.shop, self._procedures)
            load_ahead(self)

    def action_refresh(self) -> None:
        """Read the jobs again, and what is due of those who learn."""
        self._listed = list(list_jobs(self.shop.jobs))
        self._show()
        read_due(self, self.shop, self.now)

    def _show(self) -> None:
        """Show the jobs that were read, and keep the place in the list."""
        jobs = self.query_one("#jobs", OptionList)
        at = jobs.highlighted
        options, self._opens = self._options()
        jobs.clear_options()
        jobs.add_options(options)
        first = next((n for n, opens in enumerate(self._opens) if opens is not None), None)
        kept = at is not None and at < len(self._opens) and self._opens[at] is not None
        jobs.highlighted = at if kept else first

    def _options(self) -> tuple[list[Option], list[Path | str | None]]:
        """Return the lines of the board, and for each what it opens."""
        listed = self._listed
        under_way = [j for j in listed if isinstance(j, JobListed) and j.status == "under way"]
        ended = [j for j in listed if isinstance(j, JobListed) and j.status != "under way"]
        self._ended = frozenset(job.folder for job in ended)
        lines: list[tuple[Content, Path | str | None]] = [(_heading("UNDER WAY"), None)]
        lines += [(self._open_line(job), job.folder) for job in under_way]
        if not under_way:
            lines.append((Content.styled("  none: press N to start a job", "$quiet-word"), None))
        if self._due:
            lines.append((_heading("LEARNING"), None))
        lines += [(Content(f"  {due_line(who, due)}"), who) for who, due in self._due.items()]
        if ended:
            lines.append((_heading("ENDED LATELY"), None))
        for job in ended[:MOST_ENDED]:
            text = ended_line(job.opened, job.opened_at, job.standing)
            lines.append((Content(f"  {text}"), job.folder))
        for trouble in (job for job in listed if isinstance(job, StoreTrouble)):
            lines.append((Content.styled(f"! {trouble}", "$danger"), None))
        options = [Option(content, disabled=opens is None) for content, opens in lines]
        return options, [opens for _, opens in lines]

    def _open_line(self, job: JobListed) -> Content:
        try:
            read = read_job(job.folder)
        except (StoreTrouble, BadFile) as trouble:
            first = str(trouble).splitlines()[0]
            return Content.styled(f"! {job.job}: {first}", "$danger")
        past = self._past.get(read.state.opened.procedure, ())
        row = board_row(read.procedure, read.state, self.now(), past)
        told = "".join(f"  {line}\n" for line in (row.progress, row.ready, row.waits_for) if line)
        return Content.assemble((f"{row.headline}\n", "bold"), (told, "$label-word"))

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        opens = self._opens[event.option_index]
        if opens is None:
            return
        self.say("")
        if isinstance(opens, str):
            self.action_learning(opens)
        elif self._opened in (None, opens):
            self.open(opens)
        else:
            self._ask_for_vehicle(opens)

    def _ask_for_vehicle(self, folder: Path) -> None:
        """Name the vehicle and ask again, where another one was in front before."""
        from baycompanion.screens.form import ask
        from baycompanion.views.forms import vehicle_form

        try:
            opened = read_ends(folder / NAME).opened.data
        except StoreTrouble as trouble:
            self.say(str(trouble))
            return
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

    def say(self, message: str) -> None:
        """Show one sentence below the list."""
        self.query_one("#board-message", Static).update(message)

    def action_new(self) -> None:
        """Ask for a new job, make it, and open it."""
        from baycompanion.working.start import Starting

        starting = Starting(self.shop, self.now)
        self._ask_start(starting, starting.form())

    def _ask_start(self, starting: "Starting", form: "Form[Keys]") -> None:
        from baycompanion.screens.form import ask

        def started() -> None:
            if starting.folder is not None:
                self.open(starting.folder, starting.who)

        ask(self.app, form, starting.take, started)

    def action_came_back(self) -> None:
        """Ask for a job on the vehicle of the ended job that is chosen, and open it."""
        at = self.query_one("#jobs", OptionList).highlighted
        earlier = self._opens[at] if at is not None else None
        if not isinstance(earlier, Path) or earlier not in self._ended:
            self.say("Choose the ended job that the vehicle comes back from, then press C.")
            return
        from baycompanion.working.start import Starting

        starting = Starting(self.shop, self.now)
        try:
            form = starting.comeback_form(earlier)
        except StoreTrouble as trouble:
            self.say(str(trouble))
            return
        self._ask_start(starting, form)

    def action_sum(self) -> None:
        """Work out a sum of the trade; no job keeps it."""
        from baycompanion.screens.sums import BenchSums

        BenchSums(self.app, self.shop.figures, None, lambda kept: None).choose()

    def action_review(self) -> None:
        """Show what an audit of this shop finds; anybody may look."""
        from baycompanion.screens.review import ReviewScreen  # with the audit, and only here

        self.app.push_screen(ReviewScreen([self.shop.folder], self.now))

    def action_phases(self) -> None:
        """Look how long the phases took in the jobs that were closed."""
        from baycompanion.screens.phase_times import PhaseTimesScreen

        self.app.push_screen(PhaseTimesScreen(self.shop.folder))

    def action_learning(self, who: str = "") -> None:
        """Show what there is to learn to whoever has the id `who`, or ask who it is."""
        from baycompanion.screens.learning import LearningScreen  # with the scheduler

        self.app.push_screen(LearningScreen(self.shop, self.now, who))

    def action_ground(self) -> None:
        """Change between the light and the dark theme."""
        self.app.switch_ground()  # type: ignore[attr-defined]

    def action_help(self) -> None:
        """Say what the keys do."""
        from baycompanion.screens.help import help_page
        from baycompanion.screens.page import Page

        self.app.push_screen(Page(help_page()))


def _heading(text: str) -> Content:
    return Content.styled(text, "bold $label-word")
