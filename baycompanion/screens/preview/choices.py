"""The choices of a previewed procedure: a list in which each is turned from answer to answer."""

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.procedure.model import Procedure
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing, by_digit
from baycompanion.text.clean import clean
from baycompanion.views.procedure.preview_choices import Wanted, choice_lines, turned


class PreviewChoices(ModalScreen[Wanted]):
    """A line for each choice; dismissed with what is wanted of each."""

    CSS_PATH = "choices.tcss"
    BINDINGS = [
        Binding("escape,f4", "back", "Back", id="preview_choices.back"),
        *(
            Binding(str(digit), f"turn({digit})", "Turn", show=False, id=f"preview_choices.{digit}")
            for digit in range(10)
        ),
    ]

    def __init__(self, procedure: Procedure, wanted: Wanted) -> None:
        """Begin with what is wanted so far."""
        super().__init__()
        self._procedure = procedure
        self._wanted = wanted

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        with Vertical(id="choices-box"):
            yield Static(
                "Choices. Enter or its digit turns one to its next answer. An open one leaves "
                "nothing out.",
                markup=False,
            )
            yield Listing(*self._options(), id="choice-list", compact=True)
            yield KeyStrip()

    def _options(self) -> list[Option]:
        lines = choice_lines(self._procedure, self._wanted)
        return by_digit(map(clean, lines))

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self._turn(event.option_index)

    def action_turn(self, number: int) -> None:
        """Turn by number; 0 stands for 10."""
        if (number or 10) <= len(self._procedure.choices):
            self._turn((number or 10) - 1)

    def _turn(self, number: int) -> None:
        self._wanted = turned(self._procedure, self._wanted, number)
        listed = self.query_one("#choice-list", Listing)
        listed.set_options(self._options())
        listed.highlighted = number

    def action_back(self) -> None:
        """Show the screens for what is chosen now."""
        self.dismiss(self._wanted)
