"""Sums at the bench: choose one, answer what it takes, read what comes of it, keep it or go on."""

from collections.abc import Callable, Mapping
from typing import Any, Literal

from textual import on
from textual.app import App, ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen, Screen
from textual.widgets import OptionList, Static

from baycompanion.screens import shown
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.job.card_pane import CardPane
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing, by_digit
from baycompanion.trade.catalogue import SUMS, Worked, kind_of
from baycompanion.trade.figures import Figures
from baycompanion.views.card.card import Again, Deed, Piece
from baycompanion.views.sums import Tried, listed, result_card, sum_form

Keep = Callable[[Deed], str | None]
"""Keeps a result in the job; returns the one sentence that says why it cannot, or None."""

Leaving = Literal["kept", "again", "back"]
"""How the person leaves a result."""


class BenchSums:
    """The way through one sum, from the list to its result, over whatever screen is in front."""

    def __init__(
        self,
        app: App[Any],
        figures: Figures,
        keep: Keep | None,
        back: Callable[[bool], None],
    ) -> None:
        """Offer the sums on `app` to a shop with these `caps`.

        Without `keep` there is no job to keep a result in; `back` is told at the end whether one
        was kept.
        """
        self._app = app
        self._figures = figures
        self._keep = keep
        self._back = back

    def choose(self, name: str | None = None) -> None:
        """Offer the list of sums, with the one called `name` in hand."""
        self._app.push_screen(SumList(name), self._chosen)

    def _chosen(self, name: str | None) -> None:
        if name is None:
            self._back(False)
        else:
            self._ask(name, None)

    def _ask(self, name: str, typed: Mapping[str, str] | None) -> None:
        tried: list[Tried] = []

        def done(did: bool | None) -> None:
            if did:
                self._show(tried[-1])
            else:
                self.choose(name)

        form = sum_form(kind_of(name), self._figures, typed)
        self._app.push_screen(FormScreen(form, tried.append), done)

    def _show(self, tried: Tried) -> None:
        def done(leaving: Leaving | None) -> None:
            if leaving == "again":
                self._ask(tried.worked.name, tried.typed)
            else:
                self._back(leaving == "kept")

        self._app.push_screen(SumResult(tried.worked, self._keep), done)


class SumList(ModalScreen[str | None]):
    """The list of sums; dismissed with the name of the one chosen."""

    CSS_PATH = "sums.tcss"
    BINDINGS = [
        Binding("escape", "back", "Back", id="sums.back"),
        *(
            Binding(str(digit), f"choose({digit})", "Choose", show=False, id=f"sums.{digit}")
            for digit in range(10)
        ),
    ]

    def __init__(self, name: str | None) -> None:
        """List the sums with the one called `name` in hand, or the first."""
        super().__init__()
        self._names = list(SUMS)
        self._at = self._names.index(name) if name in self._names else 0

    def compose(self) -> ComposeResult:
        """Lay the list out, and below it the whole question of the sum in hand."""
        lines = listed(SUMS.values())
        with Vertical(id="sums"):
            yield Static("Work out a sum", markup=False)
            yield Listing(*by_digit(lines), id="sum-list", compact=True)
            yield Static("", id="sum-asks", markup=False)
            yield KeyStrip()

    def on_mount(self) -> None:
        """Take the sum in hand that was worked before."""
        self.query_one("#sum-list", OptionList).highlighted = self._at

    @on(OptionList.OptionHighlighted)
    def _in_hand(self, event: OptionList.OptionHighlighted) -> None:
        title = SUMS[self._names[event.option_index]].title
        self.query_one("#sum-asks", Static).update(title)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._names[event.option_index])

    def action_choose(self, number: int) -> None:
        """Choose by number; 0 stands for 10."""
        self.dismiss(self._names[(number or 10) - 1])

    def action_back(self) -> None:
        """Choose nothing."""
        self.dismiss(None)


class SumResult(Screen[Leaving]):
    """What a sum came to, large; it stays until the person keeps it, tries again, or goes back."""

    CSS_PATH = ["job/job.tcss", "sums.tcss"]
    AUTO_FOCUS = ""
    BINDINGS = [
        Binding("escape", "back", "Back", id="result.back"),
        Binding("1", "press('1')", "Other values", id="result.again"),
        Binding("2", "press('2')", "Keep as a note", id="result.keep"),
        Binding("pageup,up", "scroll_card(-1)", "Scroll", show=False, id="result.pageup"),
        Binding("pagedown,down", "scroll_card(1)", "Scroll", show=False, id="result.pagedown"),
    ]

    def __init__(self, worked: Worked, keep: Keep | None) -> None:
        """Show `worked`, which `keep` can make a note of in a job."""
        super().__init__()
        self._card = result_card(worked, in_job=keep is not None)
        self._keep = keep
        self._pane = CardPane()

    def compose(self) -> ComposeResult:
        """Lay the card out as that of a step is."""
        yield Static("BENCH SUMS", id="sum-where", markup=False)
        yield self._pane
        yield Static("", id="sum-message", markup=False)

    def on_mount(self) -> None:
        """Show the result; no key is pressed by the Enter that worked it."""
        self._pane.show(self._card, "")

    def action_press(self, pressed: str) -> None:
        """Do what `pressed` stands for."""
        self._pane.press(pressed)

    @on(CardPane.Chosen)
    def _chosen(self, event: CardPane.Chosen) -> None:
        if isinstance(event.does, Deed):
            self._keep_it(event.does)
        elif isinstance(event.does, Again):
            self.dismiss("again")
        else:
            self.dismiss("back")

    def _keep_it(self, deed: Deed) -> None:
        """Keep the result in the job, or say why it cannot be, and stay."""
        why_not = self._keep(deed) if self._keep is not None else None
        if why_not is None:
            self.dismiss("kept")
        else:
            self.query_one("#sum-message", Static).update(shown.piece(Piece("bad", why_not)))

    def action_back(self) -> None:
        """Go back to where the sum was wanted."""
        self.dismiss("back")

    def action_scroll_card(self, by: int) -> None:
        """Read on by a page, or back."""
        self._pane.scroll_page(by)
