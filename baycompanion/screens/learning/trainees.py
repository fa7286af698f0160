"""Trainees: how each stands with each procedure, for a supervisor, who releases and takes back."""

from collections.abc import Callable
from datetime import datetime

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from baycompanion.learning.standing_of import Standing
from baycompanion.screens.form.form import ask
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing
from baycompanion.screens.shown import pieces
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean
from baycompanion.views.forms.signing import PinGiven
from baycompanion.views.trainees import (
    Row,
    SignedOff,
    look_form,
    rows,
    sign_off_form,
    take_back_form,
    told,
)
from baycompanion.working.releasing import Releasing, Wanted


class StandingsRead(Message, bubble=False):
    """All that is known was gone through, or why it could not be."""

    def __init__(self, standings: list[Standing], trouble: str = "") -> None:
        super().__init__()
        self.standings = standings
        self.trouble = trouble


class TraineesScreen(Screen[None]):
    """Lists trainees with what they have begun, and shows the one in hand large."""

    CSS_PATH = "trainees.tcss"
    AUTO_FOCUS = "#trainee-rows"
    BINDINGS = [
        Binding("r", "release", "Release", id="trainees.release"),
        Binding("t", "take_back", "Take back", id="trainees.take_back"),
        Binding("pageup", "scroll_large(-1)", show=False, priority=True, id="trainees.pageup"),
        Binding("pagedown", "scroll_large(1)", show=False, priority=True, id="trainees.pagedown"),
        Binding("space", "scroll_large(1)", "Read on", id="trainees.space"),
        Binding("f9", "ground", "Colours", show=False, id="trainees.ground"),
        Binding("escape,q", "back", "Back", id="trainees.back"),
    ]

    def __init__(
        self,
        shop: Shop,
        now: Callable[[], datetime],
        who: str | None = None,
        procedure: str | None = None,
        by: str = "",
    ) -> None:
        """Show the trainees of `shop`, or the one of the id `who`, to a supervisor, maybe `by`."""
        super().__init__()
        self._releasing = Releasing(shop, now)
        self._who, self._procedure = who, procedure
        self._by = by
        """The supervisor who looks; before anybody has, whoever was named."""
        self._rows: list[Row] = []

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static("TRAINEES", id="trainees-title", markup=False)
        with Horizontal(id="trainees-parts"):
            yield Listing(id="trainee-rows", compact=True)
            with VerticalScroll(id="trainee-large", can_focus=False):
                yield Static("", id="trainee-text")
        yield Static("", id="trainees-message", markup=False)
        yield KeyStrip()

    def on_mount(self) -> None:
        """Ask which supervisor looks; back without an answer shows nothing."""

        def take(given: PinGiven) -> str | None:
            try:
                self._by = self._releasing.look(given.who, given.pin)
            except StoreTrouble as trouble:
                return str(trouble)
            return None

        form = look_form(self._releasing.without_pin, self._by)
        ask(self.app, form, take, self._read, lambda: self.dismiss(None))

    # --- showing ---------------------------------------------------------------------------------

    def _read(self, said: str = "") -> None:
        """Read answers, practice and jobs in a thread; then say what was `said`."""
        self._say(said or "Reading answers, practice and jobs…")

        def read() -> None:
            worker = get_current_worker()
            standings: list[Standing] = []
            trouble = ""
            try:
                standings = self._releasing.standings(
                    self._who, self._procedure, lambda: worker.is_cancelled
                )
            except StoreTrouble as found:
                trouble = str(found)
            if not worker.is_cancelled:
                self.post_message(StandingsRead(standings, trouble or said))

        self.run_worker(read, thread=True, exclusive=True, group="standings")

    @on(StandingsRead)
    def _standings_read(self, event: StandingsRead) -> None:
        before = self._in_hand
        self._rows = list(rows(event.standings))
        listed = self.query_one("#trainee-rows", OptionList)
        listed.clear_options()
        listed.add_options(Option(_line(row), disabled=row.of is None) for row in self._rows)
        listed.highlighted = self._place_of(before)
        self.query_one("#trainees-title", Static).update(f"TRAINEES · shown to {self._by}")
        nobody = "" if self._rows else "Nobody on the staff is a trainee."
        self._say(event.trouble or nobody)
        self._show()

    def _place_of(self, kept: Standing | None) -> int | None:
        """Return where `kept` stands now, else the first line that opens something."""
        open_rows = [n for n, row in enumerate(self._rows) if row.of is not None]
        same = [n for n in open_rows if kept is not None and _same(self._rows[n].of, kept)]
        return next(iter((*same, *open_rows)), None)

    @property
    def _row(self) -> Row | None:
        at = self.query_one("#trainee-rows", OptionList).highlighted if self.is_mounted else None
        return self._rows[at] if at is not None and at < len(self._rows) else None

    @property
    def _in_hand(self) -> Standing | None:
        row = self._row
        return row.of if row is not None else None

    @on(OptionList.OptionHighlighted, "#trainee-rows")
    def _show(self) -> None:
        row = self._row
        self.query_one("#trainee-text", Static).update(pieces(told(row) if row else ()))
        self.query_one("#trainee-large").scroll_home(animate=False)
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Show a key only where it does something."""
        row = self._row
        if action == "release":
            return row is not None and row.of is not None and row.begun
        if action == "take_back":
            return row is not None and row.of is not None and row.of.release is not None
        return True

    def _say(self, message: str) -> None:
        self.query_one("#trainees-message", Static).update(clean(message))

    # --- keys ------------------------------------------------------------------------------------

    def action_release(self) -> None:
        """Ask what was watched, and sign the one in hand off."""
        standing = self._in_hand
        if standing is None:
            return
        signed: list[str] = []

        def take(typed: SignedOff) -> str | None:
            wanted = Wanted(standing.who, standing.procedure, typed.job, typed.until, typed.words)
            release = self._releasing.sign(wanted, typed.given.who, typed.given.pin)
            signed.append(f"{standing.who} is released until {release.until}. It is in the log.")
            return None

        form = sign_off_form(standing, self._releasing.last_day())
        ask(self.app, form, take, lambda: self._read(signed[-1]))

    def action_take_back(self) -> None:
        """Take the release in hand back."""
        standing = self._in_hand
        if standing is None:
            return

        def take(given: PinGiven) -> str | None:
            self._releasing.take_back(standing.who, standing.procedure, given.who, given.pin)
            return None

        said = f"{standing.who} works beside a mentor again. It is in the log."
        ask(self.app, take_back_form(standing), take, lambda: self._read(said))

    def action_scroll_large(self, by: int) -> None:
        """Read on by a page, or back."""
        part = self.query_one("#trainee-large")
        part.scroll_relative(y=by * max(1, part.size.height - 1), animate=False)

    def action_ground(self) -> None:
        """Change between the light and the dark theme."""
        self.app.switch_ground()  # type: ignore[attr-defined]

    def action_back(self) -> None:
        """Go back to where this was asked for."""
        self.dismiss(None)


def _same(one: Standing | None, other: Standing) -> bool:
    return one is not None and (one.who, one.procedure) == (other.who, other.procedure)


def _line(row: Row) -> Content:
    if row.of is None:
        return Content.styled(clean(row.text), "bold $label-word")
    return Content(clean(f"  {row.text}"))
