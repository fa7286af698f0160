"""The timeline of a job: the drawing on top, the list of its marks below, the one chosen whole."""

from collections.abc import Iterable
from datetime import datetime

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.job.events.event import Event
from baycompanion.job.state.state import State
from baycompanion.job.timeline.marks import make_timeline
from baycompanion.procedure.model import Procedure
from baycompanion.screens import shown
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing
from baycompanion.screens.page import Page
from baycompanion.views.card.place import where
from baycompanion.views.timeline.drawing import (
    PAUSED,
    POINTER,
    UNKNOWN,
    WORKED,
    Drawing,
    Row,
    bars_legend,
    draw,
)
from baycompanion.views.timeline.lines import mark_lines
from baycompanion.views.timeline.told import pieces
from baycompanion.views.timeline.words import MarkWords, one_day

_STYLES = {
    WORKED: "$label-word",
    PAUSED: "$quiet-word",
    UNKNOWN: "bold $warning-word",
    "✓": "$good-word",
    "■": "bold $warning-word",
    "»": "bold $danger",
    "!": "bold $danger",
}
"""By its sign how a place in the drawing and a line of the list look; the sign says it all."""


class Marks(Listing):
    """The list of what is marked, in order of time."""

    BINDINGS = [
        Binding("up", "cursor_up", "Earlier"),
        Binding("down", "cursor_down", "Later"),
        Binding("enter", "select", "All its words"),
    ]


class DrawnRows(Static):
    """The rows of the drawing; a touch chooses the mark that stands there."""

    class Touched(Message):
        """A place in the drawing was touched."""

        def __init__(self, row: int, column: int) -> None:
            """Say which row, and which column of the axis; it may be none of them."""
            super().__init__()
            self.row = row
            self.column = column

    def __init__(self) -> None:
        """Begin empty."""
        super().__init__("", id="timeline-drawn", markup=False)
        self._titles = 0

    def show(self, drawing: Drawing) -> None:
        """Show the rows of `drawing`."""
        self._titles = drawing.columns_before
        rows = [_row(row, number == drawing.pointed) for number, row in enumerate(drawing.rows)]
        self.update(Content("\n").join(rows))

    def on_click(self, event: Click) -> None:
        """Say what was touched."""
        at = event.get_content_offset(self)
        if at is not None:
            self.post_message(self.Touched(at.y, at.x - self._titles))


class TimelineScreen(Screen[None]):
    """Shows what the hours of a job went to, and what happened when; it changes nothing."""

    CSS_PATH = "timeline.tcss"
    AUTO_FOCUS = "#timeline-marks"
    BINDINGS = [
        Binding("o", "overridden", "Next override", id="timeline.overridden"),
        Binding("escape", "back", "Back", id="timeline.back"),
    ]

    def __init__(self, procedure: Procedure, events: Iterable[Event], state: State) -> None:
        """Show the job whose `events` come to `state`; `procedure` is the one it follows by now."""
        super().__init__()
        self._procedure = procedure
        self._state = state
        self._timeline = make_timeline(procedure, events)
        self._zone = datetime.now().astimezone().tzinfo
        self._words = self._speak()
        self._places: tuple[tuple[int, int], ...] = ()

    def _speak(self) -> MarkWords:
        days = not one_day(self._timeline, self._zone)
        return MarkWords(self._procedure, self._timeline, self._zone, days)

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(
            f"TIMELINE · {where(self._procedure, self._state)}", id="timeline-where", markup=False
        )
        with VerticalScroll(id="timeline-rows", can_focus=False):
            yield DrawnRows()
        yield Static("", id="timeline-axis", markup=False)
        yield Marks(id="timeline-marks", compact=True)
        with VerticalScroll(id="timeline-told", can_focus=False):
            yield Static("", id="timeline-words", markup=False)
        yield KeyStrip()

    def on_mount(self) -> None:
        """Fill the list, by the clock on the wall; the first mark is chosen."""
        self._zone = self.app.now().tzinfo  # type: ignore[attr-defined]
        self._words = self._speak()
        marks = self.query_one(Marks)
        lines = mark_lines(self._procedure, self._timeline, self._zone)
        marks.add_options([Option(_list_line(sign, line)) for sign, line, _ in lines])
        marks.highlighted = 0
        self._show()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self._show()

    @property
    def _chosen(self) -> int:
        return self.query_one(Marks).highlighted or 0

    def _show(self) -> None:
        """Draw anew, the chosen mark pointed at, with its words below."""
        width = max(40, self.size.width - 2)
        drawing = draw(self._procedure, self._timeline, width, self._zone, self._chosen)
        self._places = drawing.places
        drawn, rows = self.query_one(DrawnRows), self.query_one("#timeline-rows", VerticalScroll)
        drawn.show(drawing)
        low = [bars_legend(self._timeline), *drawing.notes]
        quiet = [Content.styled(line, shown.STYLES["quiet"]) for line in low]
        axis = [Content.styled(line, "$label-word") for line in drawing.axis_lines]
        self.query_one("#timeline-axis", Static).update(Content("\n").join([*axis, *quiet]))
        told = pieces(self._words, self._timeline.marks[self._chosen])
        self.query_one("#timeline-words", Static).update(shown.pieces(told))
        self.query_one("#timeline-told", VerticalScroll).scroll_home(animate=False)
        if drawing.pointed is not None:
            middle = drawing.pointed - rows.size.height // 2
            rows.scroll_to(y=max(0, middle), animate=False, force=True)

    @on(OptionList.OptionHighlighted)
    def _walked(self) -> None:
        self._show()

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        """Show the chosen mark over everything: it may be longer than the room below the list."""
        mark = self._timeline.marks[self._chosen]
        self.app.push_screen(Page(shown.pieces(pieces(self._words, mark))))

    @on(DrawnRows.Touched)
    def _touched(self, event: DrawnRows.Touched) -> None:
        """Choose the mark on that row that stands nearest, if it has any."""
        on_row = [n for n, (row, _) in enumerate(self._places) if row == event.row]
        if on_row:
            self.query_one(Marks).highlighted = min(
                on_row, key=lambda n: abs(self._places[n][1] - event.column)
            )

    def action_overridden(self) -> None:
        """Go to the next gate that was overridden, round and round."""
        marks = self._timeline.marks
        found = [n for n, mark in enumerate(marks) if mark.what == "gate overridden"]
        if not found:
            self.notify("No gate was overridden in this job.", markup=False)
            return
        self.query_one(Marks).highlighted = next((n for n in found if n > self._chosen), found[0])

    def action_back(self) -> None:
        """Go back to where the timeline was opened."""
        self.dismiss(None)


def _list_line(sign: str, words: str) -> Content:
    """Return a line of the list: the sign as in the drawing, then the words."""
    return Content.assemble((f"{sign:<2} ", _STYLES.get(sign[0], "")), words)


def _row(row: Row, pointed: bool) -> Content:
    """Return a row of the drawing, every sign in its style; the one pointed at stands out."""
    head = f"{POINTER if pointed else ' '}{row.title} "
    parts: list[tuple[str, str]] = [(head, "bold $label-word" if pointed else "")]
    style = ""
    for sign in row.cells:
        if not sign.isalpha():  # a letter looks like the sign before it
            style = _STYLES.get(sign, "bold" if sign.strip() else "")
        parts.append((sign, style))
    return Content.assemble(*parts)
