"""The preview: the screens of a procedure while it is written, each as a job would show it."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.screen import Screen

from baycompanion.screens.job.card_entry import CardEntry
from baycompanion.screens.job.card_pane import CardPane
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.preview.choices import PreviewChoices
from baycompanion.screens.words import Words, put
from baycompanion.store.draft_file import DraftFile
from baycompanion.text.clean import clean
from baycompanion.text.counted import counted
from baycompanion.views.procedure.preview import Shown, heading, place_of, screens_of
from baycompanion.views.procedure.preview_choices import Wanted, settled, vehicle_line

EVERY = 0.5
"""Seconds between two looks at whether the file was saved."""
MOST_TOLD = 3
"""How many problems of a file with errors stand above the card; the rest is counted."""


class PreviewScreen(Screen[None]):
    """Shows one screen of a procedure; arrows lead to the others, and saving the file reloads."""

    CSS_PATH = ["../job/job.tcss", "preview.tcss"]
    AUTO_FOCUS = ""
    BINDINGS = [
        Binding("left", "turn(-1)", "Back", priority=True, id="preview.back"),
        Binding("right", "turn(1)", "Next", priority=True, id="preview.next"),
        Binding("f2", "phase(-1)", "Phase before", priority=True, id="preview.phase_before"),
        Binding("f3", "phase(1)", "Next phase", priority=True, id="preview.phase_next"),
        Binding("f4", "choices", "Choices", priority=True, id="preview.choices"),
        Binding("f8", "why", "Why", priority=True, id="preview.why"),
        Binding("home", "go(0)", show=False, priority=True, id="preview.first"),
        Binding("end", "go(1000000)", show=False, priority=True, id="preview.last"),
        Binding("pageup", "scroll_card(-1)", show=False, id="preview.up"),
        Binding("pagedown", "scroll_card(1)", show=False, id="preview.down"),
        Binding("enter", "press('enter')", show=False, id="preview.enter"),
        Binding("f7", "press('F7')", show=False, id="preview.cannot"),
        *(
            Binding(str(digit), f"press('{digit}')", show=False, id=f"preview.{digit}")
            for digit in range(10)
        ),
        Binding("escape", "leave", "Leave", priority=True, id="preview.leave"),
    ]

    def __init__(self, path: Path, now: Callable[[], datetime]) -> None:
        """Show the procedure in the file at `path`."""
        super().__init__()
        self._file = DraftFile(path)
        self._now = now
        self._screens: tuple[Shown, ...] = ()
        self._number = 0
        self._wanted: Wanted = {}
        self._with_why = False
        self._pane = CardPane()

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Words("where")
        yield Words("phase")
        yield Words("choices")
        yield Words("problems")
        yield self._pane
        yield Words("message")
        yield KeyStrip()

    def on_mount(self) -> None:
        """Show the file as it is, and look at it again and again."""
        self.look()
        self.set_interval(EVERY, self.look)

    def look(self) -> None:
        """Show the file anew if it was saved, at the same screen as before."""
        if self._file.look():
            self._make()

    def _make(self) -> None:
        """Make the screens anew, and stay at the same one."""
        name = self._screens[self._number].name if self._screens else ""
        if self._file.good is not None:
            procedure = self._file.good.procedure
            self._screens = screens_of(procedure, self._now(), settled(procedure, self._wanted))
        self._number = place_of(self._screens, name, self._number)
        self._show()

    def action_turn(self, by: int) -> None:
        """Go on, or back, by so many screens."""
        self.action_go(self._number + by)

    def action_go(self, number: int) -> None:
        """Go to the screen of this number, or the one nearest to it."""
        self._number = max(0, min(number, len(self._screens) - 1))
        self._show()

    def action_phase(self, by: int) -> None:
        """Go to the first screen of the phase before or behind this one."""
        if not self._screens:
            return
        phases = [shown.phase for shown in self._screens]
        begins = [
            number
            for number, phase in enumerate(phases)
            if number == 0 or phase is not phases[number - 1]
        ]
        here = max(place for place, number in enumerate(begins) if number <= self._number)
        self.action_go(begins[max(0, min(here + by, len(begins) - 1))])

    def action_choices(self) -> None:
        """Let it be chosen for which vehicle the screens are shown."""
        if self._file.good is None:
            return
        if not self._file.good.procedure.choices:
            put(self, "message", "This procedure has no choices.")
            return
        chosen = PreviewChoices(self._file.good.procedure, self._wanted)
        self.app.push_screen(chosen, self._take_choices)

    def _take_choices(self, wanted: Wanted | None) -> None:
        if wanted is not None:
            self._wanted = wanted
            self._make()

    def action_why(self) -> None:
        """Show why, as a trainee reads it, or no more."""
        self._with_why = not self._with_why
        self._show()
        if self._with_why and self._screens and not self._screens[self._number].why:
            put(self, "message", "No why: is written here. Screens that have one show it now.")

    def action_scroll_card(self, way: int) -> None:
        """Scroll what is read, a page at a time."""
        reading = self._pane.query_one("#reading", VerticalScroll)
        if way < 0:
            reading.scroll_page_up(animate=False)
        else:
            reading.scroll_page_down(animate=False)

    def action_press(self, pressed: str) -> None:
        """Say that nothing is answered here, as for a key of the card that is touched."""
        self._pane.press(pressed)

    @on(CardPane.Chosen)
    @on(CardPane.NoAnswer)
    @on(CardEntry.Made)
    @on(CardEntry.Unusable)
    def _not_here(self) -> None:
        put(self, "message", "A preview answers nothing: no job is made. The arrows lead on.")

    def action_leave(self) -> None:
        """End the preview."""
        self.app.exit(0)

    def _show(self) -> None:
        name = clean(self._file.path.name)
        state = "as it was before the errors" if self._file.broken else "as saved"
        put(self, "where", f"PREVIEW  {name}, {state}. No job is made.")
        put(self, "problems", clean(self._told()))
        put(self, "message", "")
        self._pane.display = bool(self._screens)
        if not self._screens or self._file.good is None:
            put(self, "phase", "Nothing can be shown yet. Save the file without these errors.")
            put(self, "choices", "")
            return
        put(self, "choices", clean(vehicle_line(self._file.good.procedure, self._wanted)))
        shown = self._screens[self._number]
        put(self, "phase", clean(heading(self._file.good.procedure, self._screens, self._number)))
        self._pane.show(shown.card, shown.why if self._with_why else "")
        self._pane.take_focus()

    def _told(self) -> str:
        """Return what is wrong with the file, as much of it as there is room for."""
        problems = self._file.problems
        most = MOST_TOLD if self._file.broken else 1  # a warning leaves the card its room
        rest = len(problems) - most
        more = [f"and {counted(rest, 'more problem')}; `check` lists them all"] if rest > 0 else []
        return "\n".join((*(f"! {problem}" for problem in problems[:most]), *more))
