"""How long the phases took: a list of them by procedure, and the charts of the one chosen."""

from itertools import groupby
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from baycompanion.audit.choice import Choice
from baycompanion.audit.phases.chart import PlotSize, phase_line, told_lines
from baycompanion.audit.phases.reading import PhasesRead, read_phases
from baycompanion.audit.phases.text_plot import LABEL
from baycompanion.audit.phases.times import PhaseTold
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing
from baycompanion.text.clean import clean
from baycompanion.text.counted import counted

AROUND = 13
"""Lines of the screen besides the two plots: what is said around them, and some signals."""

BESIDE = LABEL + 6
"""Columns besides the points of a plot."""


class PhasesCame(Message, bubble=False):
    """The records were gone through."""

    def __init__(self, read: PhasesRead) -> None:
        super().__init__()
        self.read = read


class PhaseTimesScreen(Screen[None]):
    """Lists the phases of a shop's closed jobs; Enter shows the charts of one."""

    CSS_PATH = "phase_times.tcss"
    AUTO_FOCUS = "#phase-list"
    BINDINGS = [
        Binding("escape", "back", "Back", id="phases.back"),
    ]

    def __init__(self, folder: Path) -> None:
        """List the phases of the shop in `folder`, once its records are read."""
        super().__init__()
        self._folder = folder
        self._told: list[PhaseTold] = []
        self._lines: list[int | None] = []
        """For each line of the list the phase that it opens."""

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        yield Static("PHASE TIMES   (Enter shows the charts)", id="phases-title", markup=False)
        yield Listing(id="phase-list", compact=True)
        yield Static("Reading the closed jobs…", id="phases-message", markup=False)
        yield KeyStrip()

    def on_mount(self) -> None:
        """Read the records in a thread, after the first frame; given up when this goes away."""

        def read() -> None:
            worker = get_current_worker()
            seen = read_phases([self._folder], Choice(), lambda: worker.is_cancelled)
            self.post_message(PhasesCame(seen))

        self.call_after_refresh(self.run_worker, read, thread=True)

    @on(PhasesCame)
    def _came(self, event: PhasesCame) -> None:
        """Put the phases in the list."""
        self._told = event.read.told
        options = []
        for (procedure, revision), phases in groupby(
            enumerate(self._told), key=lambda each: (each[1].procedure, each[1].revision)
        ):
            head = f"{procedure}, revision {revision}"
            options.append(Option(Content.styled(clean(head), "bold $label-word"), disabled=True))
            self._lines.append(None)
            for number, told in phases:
                options.append(Option(Content(clean(f"  {phase_line(told)}"))))
                self._lines.append(number)
        listing = self.query_one("#phase-list", OptionList)
        listing.add_options(options)
        listing.highlighted = 1 if options else None
        self.query_one("#phases-message", Static).update(clean(_looked_at(event.read)))

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        number = self._lines[event.option_index]
        if number is not None:
            self.app.push_screen(PhaseChartScreen(self._told, number))

    def action_back(self) -> None:
        """Go back to where this was asked for."""
        self.dismiss(None)


class PhaseChartScreen(Screen[None]):
    """The figures, charts and signals of one phase, as large as there is room."""

    CSS_PATH = "phase_times.tcss"
    AUTO_FOCUS = "#phase-pane"
    BINDINGS = [
        Binding("escape,enter", "back", "Back", id="phase.back"),
        Binding("left", "turn(-1)", "Phase before", priority=True, id="phase.before"),
        Binding("right", "turn(1)", "Next phase", priority=True, id="phase.next"),
    ]

    def __init__(self, told: list[PhaseTold], number: int) -> None:
        """Show the phase of this number; the arrows lead to the others."""
        super().__init__()
        self._told, self._number = told, number

    def compose(self) -> ComposeResult:
        """Lay the charts out; they scroll where there is no room for all signals."""
        yield Static("", id="phases-title", markup=False)
        with VerticalScroll(id="phase-pane"):
            yield Static("", id="phase-chart", markup=False)
        yield KeyStrip()

    def on_resize(self, event: Resize) -> None:
        """Draw the charts anew, in the room that there is."""
        self._draw()

    def action_turn(self, by: int) -> None:
        """Go to another phase; after the last comes the first."""
        self._number = (self._number + by) % len(self._told)
        self._draw()
        self.query_one("#phase-pane", VerticalScroll).scroll_home(animate=False)

    def _draw(self) -> None:
        told = self._told[self._number]
        rows = max(9, self.size.height - AROUND)
        low = max(3, rows // 3)
        lines = told_lines(told, PlotSize(self.size.width - BESIDE, rows - low, low))
        title = f"PHASE TIMES · {told.procedure}, revision {told.revision}"
        self.query_one("#phases-title", Static).update(clean(title))
        self.query_one("#phase-chart", Static).update(Content(clean("\n".join(lines))))

    def action_back(self) -> None:
        """Go back to the list."""
        self.dismiss(None)


def _looked_at(read: PhasesRead) -> str:
    """Return in how many jobs it was looked, and what could not be read."""
    if not read.jobs and not read.unread:
        return "No job is closed yet, so there are no times to tell of."
    looked = f"Looked at: {counted(read.jobs, 'closed job')}."
    return "\n".join((looked, *(f"! {trouble}" for trouble in read.unread)))
