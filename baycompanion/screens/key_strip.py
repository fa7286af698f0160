"""The bottom line: the keys that work here, each a place to touch; two lines in a narrow window.

One widget and one text. The footer of the library mounts a widget for each key anew whenever
anything on the screen changes, which costs more than all the rest of answering a step.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static


@dataclass(frozen=True, slots=True)
class ShownKey:
    """One key, its line, and the columns that it takes there."""

    key: str
    name: str
    """How the key is called on a keyboard."""
    does: str
    line: int
    """0 for the first."""
    begins: int
    ends: int
    """The first column after it."""


class KeyStrip(Static):
    """Every key of the screen that is meant to be seen; touching one presses it."""

    DEFAULT_CSS = """
    KeyStrip {
        dock: bottom;
        height: 1;
        text-wrap: nowrap;
        background: $footer-background;
        color: $footer-foreground;
    }
    """

    def __init__(self) -> None:
        """Begin empty; the keys are known once the screen stands."""
        super().__init__("", markup=False)
        self.keys: tuple[ShownKey, ...] = ()

    def on_mount(self) -> None:
        """Follow the keys of the screen from now on."""
        self.screen.bindings_updated_signal.subscribe(self, self._follow)

    def on_resize(self) -> None:
        """Lay the keys out anew: what had room in one line may need two."""
        self._follow(self.screen)

    def _follow(self, screen: Screen[object]) -> None:
        if screen is not self.screen or not screen.app.app_focus:
            return
        keys = _shown(screen, self.app.size.width)
        if keys != self.keys:
            self.keys = keys
            self.styles.height = 1 + max((each.line for each in keys), default=0)
            self.update(Content.assemble(*_words(keys)))

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Press the key that was touched."""
        for each in self.keys:
            if each.line == event.y and each.begins <= event.x < each.ends:
                self.app.simulate_key(each.key)


def _words(keys: tuple[ShownKey, ...]) -> Iterator[str | tuple[str, str]]:
    """Yield the text of `keys`, each key set off from what it does."""
    line = 0
    for each in keys:
        if each.line > line:
            line = each.line
            yield "\n"
        yield f" {each.name} ", "bold $footer-key-foreground"
        yield f"{each.does} "


def _shown(screen: Screen[object], width: int) -> tuple[ShownKey, ...]:
    """Return the keys of `screen` that are to be seen: one for each action, in their order.

    A line holds `width` columns; a key that has no room left in one begins the next.
    """
    shown: dict[str, ShownKey] = {}
    line = column = 0
    for _node, binding, _enabled, _tooltip in screen.active_bindings.values():
        if binding.show and binding.action not in shown:
            name, does = screen.app.get_key_display(binding), binding.description
            length = Content(f" {name} {does} ").cell_length
            if column and column + length - 1 > width:  # its last column is a blank
                line, column = line + 1, 0
            ends = column + length
            shown[binding.action] = ShownKey(binding.key, name, does, line, column, ends)
            column = ends
    return tuple(shown.values())
