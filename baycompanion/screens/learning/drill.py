"""The drill: one question large, its options by digits, and after the answer right or not, and why.

Whatever was answered is on the disk before anything is said of it, so leaving loses nothing.
"""

from collections.abc import Iterable
from textwrap import wrap

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.learning.drill.question import Question
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing
from baycompanion.screens.page import Page
from baycompanion.screens.shown import pieces
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean
from baycompanion.views.card.card import MOST_KEYS, Piece
from baycompanion.views.drill import after_answer, how_to_answer, outcome_lines
from baycompanion.working.drilling import Sitting

BESIDE = 6
"""Columns of an option that are none of its words: digit, edges of the list, scroll bar."""

LEAST_ROOM = 20
"""Columns for the words of an option, however narrow the screen."""


class DrillScreen(Screen[None]):
    """Asks one question after the other."""

    CSS_PATH = "drill.tcss"
    AUTO_FOCUS = ""
    BINDINGS = [
        *(
            Binding(str(digit), f"give({digit})", "Answer", show=False, id=f"drill.{digit}")
            for digit in range(1, MOST_KEYS + 1)
        ),
        Binding("enter", "go_on", "Go on", id="drill.go-on"),
        Binding("h", "hint", "Hint", id="drill.hint"),
        Binding("backspace,u", "undo", "Undo", id="drill.undo"),
        Binding("pageup", "scroll_body(-1)", show=False, priority=True, id="drill.pageup"),
        Binding("pagedown,space", "scroll_body(1)", show=False, priority=True, id="drill.pagedown"),
        Binding("f1", "help", "Help", id="drill.help"),
        Binding("f9", "ground", "Colours", show=False, id="drill.ground"),
        Binding("escape", "leave", "Leave", id="drill.leave"),
    ]

    def __init__(self, sitting: Sitting) -> None:
        """Show `sitting`, whose first question is in hand, or what came of it where it has none."""
        super().__init__()
        self._sitting = sitting
        self._given: list[str] = []
        """The options that were given so far, by name, where several are wanted."""
        self._over = sitting.question is None

    @property
    def topic(self) -> object:
        """The question in hand, and whether it is answered: a touch means something else then."""
        return self._over, self._sitting.question, self._sitting.verdict

    def compose(self) -> ComposeResult:
        """Lay the question out."""
        yield Static("", id="drill-where", markup=False)
        with VerticalScroll(id="drill-body", can_focus=False):
            yield Static("", id="drill-lead", markup=False)
            yield Static("", id="drill-asks", markup=False)
            yield Listing(id="drill-options", compact=True)
            yield Static("", id="drill-said")
        yield Static("", id="drill-message", markup=False)
        yield KeyStrip()

    def on_mount(self) -> None:
        """Show the first question."""
        self._show()

    # --- showing ---------------------------------------------------------------------------------

    def _show(self) -> None:
        """Show the question in hand, or what came of the sitting."""
        question = self._sitting.question
        self._given = []
        self._over = self._over or question is None
        for name in ("#drill-lead", "#drill-options"):
            self.query_one(name).display = not self._over
        if self._over or question is None:
            self._show_outcome()
        else:
            self._show_question(question)
        self.query_one("#drill-body").scroll_home(animate=False)
        self.refresh_bindings()

    def _show_question(self, question: Question) -> None:
        sitting = self._sitting
        again = " · once more" if sitting.comes_again else ""
        where = f"DRILL · {sitting.who.id} · question {sitting.number} of {sitting.total}{again}"
        self.query_one("#drill-where", Static).update(clean(where))
        self.query_one("#drill-lead", Static).update(clean("\n".join(question.lead)))
        self.query_one("#drill-lead").display = bool(question.lead)
        self.query_one("#drill-asks", Static).update(clean(question.asks))
        self._list_options(question)
        self._say_below(())
        self._say(how_to_answer(question))
        self.set_focus(self.query_one("#drill-options", OptionList))

    def _list_options(self, question: Question) -> None:
        """List the options; what was given carries a mark, or its place in the order."""
        listed = self.query_one("#drill-options", OptionList)
        kept = listed.highlighted
        listed.clear_options()
        listed.add_options(
            Option(self._line(number, option.name, option.words))
            for number, option in enumerate(question.options, 1)
        )
        listed.highlighted = kept if self._given else None  # else a stray Enter would answer

    def _line(self, number: int, name: str, words: str) -> Content:
        """Return an option by its digit; what does not fit goes on below its words."""
        place = self._place(name)
        room = max(LEAST_ROOM, self.size.width - BESIDE)
        told = wrap(clean(words), room, initial_indent=place, subsequent_indent=" " * len(place))
        return Content.assemble((f"{number}  ", "bold"), "\n   ".join(told))

    def on_resize(self) -> None:
        """Break the lines of the options anew."""
        question = self._sitting.question
        if question is not None and not self._over:
            self._list_options(question)

    def _place(self, name: str) -> str:
        if self._sitting.wanted == 1:
            return "[yours] " if name in self._given else ""
        return f"[{self._given.index(name) + 1}] " if name in self._given else "[ ] "

    def _show_outcome(self) -> None:
        self.query_one("#drill-where", Static).update(f"DRILL · {self._sitting.who.id}")
        outcome = self._sitting.outcome()
        first, *rest = outcome_lines(outcome, self._sitting.now())
        self.query_one("#drill-asks", Static).update(clean(first))
        self._say_below([Piece("plain", words) for words in rest])
        self._say("Every answer is kept. Enter goes back." if outcome.asked else "Enter goes back.")
        self.set_focus(None)

    def _say_below(self, told: Iterable[Piece]) -> None:
        self.query_one("#drill-said", Static).update(pieces(told))

    def _say(self, message: str) -> None:
        self.query_one("#drill-message", Static).update(clean(message))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Show a key only where it does something."""
        asking = not self._over and self._sitting.verdict is None
        if action == "go_on":
            return not asking
        if action == "hint":
            return asking and not self._sitting.hint
        if action == "undo":
            return asking and self._sitting.wanted > 1
        return True

    # --- answering -------------------------------------------------------------------------------

    @on(OptionList.OptionSelected, "#drill-options")
    def _selected(self, event: OptionList.OptionSelected) -> None:
        self.action_give(event.option_index + 1)

    def action_give(self, number: int) -> None:
        """Give the option of that number; where they are put in order, as the next one."""
        sitting, question = self._sitting, self._sitting.question
        if self._over or question is None or sitting.verdict is not None:
            return
        if number > len(question.options):
            self._say(f"There is no {number} here. {how_to_answer(question)}")
            return
        name = question.options[number - 1].name
        if name in self._given:
            self._say(f"{number} has its place already. Undo takes the last one back.")
            return
        self._given.append(name)
        if len(self._given) < sitting.wanted:
            self._list_options(question)
            self._say(f"Which comes next? {len(self._given)} of {sitting.wanted} have a place.")
            return
        self._answer(question)

    def _answer(self, question: Question) -> None:
        """Keep the answer, and say right or not; where it cannot be kept, the question stays."""
        helped = bool(self._sitting.hint)
        try:
            verdict = self._sitting.answer(self._given)
        except StoreTrouble as trouble:
            self._given = []
            self._list_options(question)
            self._say(str(trouble))
            return
        self._list_options(question)
        self._say_below(after_answer(question, verdict, helped))
        self._say("Enter goes on.")
        self.set_focus(None)
        self.refresh_bindings()
        self.call_after_refresh(self.query_one("#drill-body").scroll_end, animate=False)

    def action_undo(self) -> None:
        """Take the option back that was given last."""
        question = self._sitting.question
        if self._given and question is not None:
            self._given.pop()
            self._list_options(question)
            self._say(how_to_answer(question) if not self._given else "Taken back. Which is next?")

    def action_hint(self) -> None:
        """Show some help; an answer that is right after it counts less."""
        self._say_below([Piece("why", f"Hint: {self._sitting.help()}")])
        self.refresh_bindings()

    def action_go_on(self) -> None:
        """Go to the next question, or back where there is none."""
        if self._over:
            self.dismiss(None)
            return
        self._sitting.go_on()
        self._show()

    def action_leave(self) -> None:
        """Show what came of it so far, and go back from there; at once where nothing did."""
        if self._over or not self._sitting.outcome().asked:
            self.dismiss(None)
            return
        self._over = True
        self._show()

    def action_scroll_body(self, by: int) -> None:
        """Read on by a page, or back."""
        body = self.query_one("#drill-body")
        body.scroll_relative(y=by * max(1, body.size.height - 1), animate=False)

    def action_ground(self) -> None:
        """Change between the light and the dark theme."""
        self.app.switch_ground()  # type: ignore[attr-defined]

    def action_help(self) -> None:
        """Say what the keys do."""
        keys = [
            Content.assemble((f"{key:<11}", "bold $label-word"), f"{does}\n") for key, does in _KEYS
        ]
        head = Content.styled("Keys of the drill\n", "bold")
        self.app.push_screen(Page(Content.assemble(head, *keys)))


_KEYS = (
    ("1 to 6", "answer; where steps are put in order, one after the other"),
    ("Backspace", "take the last number back, where steps are put in order"),
    ("H", "a hint; right after it counts less than right at once"),
    ("Enter", "go on, once the question is answered"),
    ("PgDn", "read on"),
    ("F9", "light or dark"),
    ("Esc", "leave; every answer is kept already"),
)
