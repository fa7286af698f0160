"""The sequence beside the card: every phase, gate and step with its mark."""

from collections.abc import Sequence as Lines

from textual import on
from textual.binding import Binding
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from baycompanion.screens import shown
from baycompanion.screens.listing import Listing
from baycompanion.views.card.place import Line


class Sequence(Listing):
    """A list in which steps can be looked at; looking moves nothing."""

    BINDINGS = [
        Binding("enter", "screen.return", "To the step now", show=False),
        # The screen turns to the step and this list follows, so that both are painted at once.
        Binding("up", "screen.look(-1)", "Look back", show=False),
        Binding("down", "screen.look(1)", "Look ahead", show=False),
    ]

    class Looked(Message):
        """The person looks at a step."""

        def __init__(self, step: str) -> None:
            """Say that `step` is looked at."""
            super().__init__()
            self.step = step

    def __init__(self) -> None:
        """Make an empty list."""
        super().__init__(id="sequence", compact=True, markup=False)
        self._listed: list[Line] = []

    def show(self, lines: Lines[Line], step: str | None) -> None:
        """Show `lines`, with `step` in the middle; only lines that changed are drawn anew."""
        if [line.name for line in lines] != [line.name for line in self._listed]:
            self.clear_options()
            self.add_options(
                [Option(shown.line(line), disabled=line.kind != "step") for line in lines]
            )
        else:
            for index, (old, new) in enumerate(zip(self._listed, lines, strict=True)):
                if old != new:
                    self.change_line(index, shown.line(new))
        self._listed = list(lines)
        self.turn_to(step)

    def turn_to(self, step: str | None) -> None:
        """Put `step` in the middle, or the one in hand."""
        name = step or self.now
        at = next((n for n, line in enumerate(self._listed) if line.name == name), None)
        if at is not None and self.highlighted != at:
            with self.prevent(OptionList.OptionHighlighted):
                self.highlighted = at

    def scroll_to_highlight(self, top: bool = False) -> None:
        """Keep what came before and what lies ahead in sight: the step stands in the middle."""
        if self.highlighted is not None and self.is_mounted:
            middle = self.highlighted - self.size.height // 2
            self.scroll_to(y=max(0, middle), animate=False, force=True, immediate=True)

    def on_resize(self) -> None:
        """Find the middle again, once all of the screen has its size."""
        self.call_after_refresh(self.scroll_to_highlight)

    @property
    def now(self) -> str | None:
        """The step that is in hand or held."""
        return next(
            (
                line.name
                for line in self._listed
                if line.kind == "step" and line.short in ("now", "held")
            ),
            None,
        )

    @on(OptionList.OptionHighlighted)
    def _look_at(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        if self.has_focus:
            self._look(event.option_index)

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._look(event.option_index)

    def _look(self, index: int) -> None:
        if self._listed[index].kind == "step":
            self.post_message(self.Looked(self._listed[index].name))
