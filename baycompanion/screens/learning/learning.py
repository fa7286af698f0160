"""Learning: who it is, then every procedure with what is due; Enter drills, P practises."""

from collections.abc import Callable, Mapping
from datetime import datetime

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from baycompanion.job.deciding.draft import Person
from baycompanion.screens.form.form import ask
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.learning.drill import DrillScreen
from baycompanion.screens.learning.practice_start import ask_practice
from baycompanion.screens.listing import Listing
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean
from baycompanion.views.card.card import First
from baycompanion.views.drill import ONLY_PRACTICE, due_words, phase_form, standing_words
from baycompanion.working.drilling import Wish, sit_with
from baycompanion.working.learner import Learner
from baycompanion.working.to_learn import ToLearn, to_learn, to_practise


class ShelfRead(Message, bubble=False):
    """The procedures were gone through, or why they could not be."""

    def __init__(self, rows: list[ToLearn], trouble: str = "") -> None:
        super().__init__()
        self.rows = rows
        self.trouble = trouble


class LearningScreen(Screen[None]):
    """Lists what somebody may learn."""

    CSS_PATH = "learning.tcss"
    AUTO_FOCUS = "#to-learn"
    BINDINGS = [
        Binding("a", "all", "Ask all", id="learning.all"),
        Binding("h", "hard_part", "One phase", id="learning.phase"),
        Binding("p", "practise", "Practise", id="learning.practise"),
        Binding("t", "trainees", "Trainees", id="learning.trainees"),
        Binding("w", "who", "Who", id="learning.who"),
        Binding("f9", "ground", "Colours", show=False, id="learning.ground"),
        Binding("escape,q", "back", "Back", id="learning.back"),
    ]

    def __init__(self, shop: Shop, now: Callable[[], datetime], who: str = "") -> None:
        """Show what there is to learn in `shop` to whoever has the id `who`, or ask for it."""
        super().__init__()
        self.shop = shop
        self.now = now
        self._asked_for = who
        self._learner = Learner(shop, now)
        self._rows: list[ToLearn] = []

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        yield Static("LEARNING", id="learning-title", markup=False)
        yield Listing(id="to-learn", compact=True)
        yield Static("", id="learning-standing", markup=False)
        yield Static("", id="learning-message", markup=False)
        yield KeyStrip()

    def on_mount(self) -> None:
        """Ask who it is, and for their PIN where they have one."""
        if not self._asked_for:
            self.action_who()
            return
        try:
            first = self._learner.come(self._asked_for)
        except StoreTrouble as trouble:
            self._say(str(trouble))
            return
        if first is None:
            self._read()
        else:
            ask(self.app, first.form, first.take, self._read, lambda: self.dismiss(None))

    # --- who -------------------------------------------------------------------------------------

    def action_who(self) -> None:
        """Ask who learns; back without an answer, nothing changes."""
        learner = Learner(self.shop, self.now)

        def came() -> None:
            self._learner = learner
            self._read()

        def back() -> None:
            if self._learner.who is None:
                self.dismiss(None)

        def take(given: Mapping[str, str]) -> First | None:
            return learner.take(given)

        ask(self.app, learner.form(self._asked_for), take, came, back)

    @property
    def who(self) -> Person | None:
        """Who learns, once they have shown who they are."""
        return self._learner.who

    # --- what there is ---------------------------------------------------------------------------

    def _read(self) -> None:
        """Read the shelf in a thread, for every procedure on it is read."""
        who = self.who
        assert who is not None
        self.query_one("#learning-title", Static).update(f"LEARNING · {who.id}   (Enter drills)")
        self._say("Reading the procedures…")

        def read() -> None:
            worker = get_current_worker()
            rows: list[ToLearn] = []
            trouble = ""
            try:
                rows.extend(to_learn(self.shop, who, self.now(), lambda: worker.is_cancelled))
            except StoreTrouble as found:
                trouble = str(found)
                rows = rows or list(to_practise(self.shop))
            if not worker.is_cancelled:
                self.post_message(ShelfRead(rows, trouble))

        self.run_worker(read, thread=True, exclusive=True, group="shelf")

    @on(ShelfRead)
    def _shelf_read(self, event: ShelfRead) -> None:
        before = self.procedure
        self._rows = event.rows
        listed = self.query_one("#to-learn", OptionList)
        listed.clear_options()
        listed.add_options(Option(_line(row)) for row in self._rows)
        listed.highlighted = self._place_of(before)
        self._say(event.trouble)

    def _place_of(self, procedure: str | None) -> int | None:
        """Return where `procedure` stands, else the first one of which something is due."""
        same = [n for n, row in enumerate(self._rows) if row.procedure == procedure]
        due = [n for n, row in enumerate(self._rows) if row.standing and row.standing.due]
        return next(iter((*same, *due)), 0 if self._rows else None)

    @property
    def procedure(self) -> str | None:
        """The procedure in hand."""
        row = self._row
        return row.procedure if row is not None else None

    @property
    def _row(self) -> ToLearn | None:
        at = self.query_one("#to-learn", OptionList).highlighted if self.is_mounted else None
        return self._rows[at] if at is not None and at < len(self._rows) else None

    @on(OptionList.OptionHighlighted, "#to-learn")
    def _highlighted(self) -> None:
        row = self._row
        told = []
        if row is not None and row.standing is not None and row.deck is not None:
            told = [standing_words(row.standing), *row.deck.fewer]
        elif row is not None and row.trouble:
            told = [row.trouble]
        self.query_one("#learning-standing", Static).update(clean("\n".join(told)))
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Show a key only where it does something."""
        row = self._row
        if action == "practise":
            return row is not None and row.deck is not None
        if action in ("all", "hard_part"):
            return row is not None and row.standing is not None
        return True

    def _say(self, message: str) -> None:
        self.query_one("#learning-message", Static).update(clean(message))

    # --- drilling --------------------------------------------------------------------------------

    @on(OptionList.OptionSelected, "#to-learn")
    def _selected(self) -> None:
        self._drill(Wish())

    def action_all(self) -> None:
        """Ask every question of the procedure in hand, due or not."""
        self._drill(Wish(all_cards=True))

    def action_hard_part(self) -> None:
        """Ask which phase, and drill all of that phase alone."""
        row = self._row
        if row is None or row.deck is None:
            return
        phases = row.deck.procedure.phases
        chosen: list[str] = []

        def drill() -> None:
            self._drill(Wish(phase=chosen[-1], all_cards=True))

        form = phase_form({phase.title: phase.phase for phase in phases})
        ask(self.app, form, chosen.append, drill)

    def _drill(self, wish: Wish) -> None:
        """Drill the procedure in hand; read the shelf again after it."""
        row, who = self._row, self.who
        if row is None or who is None:
            return
        if row.deck is None:
            self._say(row.trouble)
            return
        try:
            sitting = sit_with(self.shop, who, [row.deck], wish, self.now)
        except StoreTrouble as trouble:
            self._say(str(trouble))
            return
        self.app.push_screen(DrillScreen(sitting), lambda _: self._read())

    def action_practise(self) -> None:
        """Ask how the procedure in hand is practised on a made-up vehicle, and begin."""
        if self.procedure is not None and self.who is not None:
            asked = {"procedure": self.procedure, "by": self.who.id}
            ask_practice(self.app, self.shop, self.now, asked)

    def action_trainees(self) -> None:
        """Show a supervisor how every trainee stands."""
        from baycompanion.screens.learning.trainees import TraineesScreen  # for supervisors alone

        self.app.push_screen(TraineesScreen(self.shop, self.now))

    def action_ground(self) -> None:
        """Change between the light and the dark theme."""
        self.app.switch_ground()  # type: ignore[attr-defined]

    def action_back(self) -> None:
        """Go back to where this was asked for."""
        self.dismiss(None)


def _line(row: ToLearn) -> Content:
    if row.deck is None:
        return Content.styled(clean(f"! {row.trouble}"), "$danger")
    standing = row.standing
    words = due_words(standing.due, row.new_today) if standing else ONLY_PRACTICE
    title = clean(row.deck.procedure.title)
    bold = "bold" if standing and standing.due else ""
    return Content.assemble(
        (f"{words:<20}", bold), f"  {title}", (f"  {row.procedure}", "$quiet-word")
    )
