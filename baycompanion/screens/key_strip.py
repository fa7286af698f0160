"""The bottom line: the keys that work here, each a place to touch; two lines in a narrow window.

One widget and one text. The footer of the library mounts a widget for each key anew whenever
anything on the screen changes, which costs more than all the rest of answering a step.
"""

from collections.abc import Iterator
from typing import NamedTuple

from textual import events
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static


class OfferedKey(NamedTuple):
    """One key that works on a screen and is meant to be seen."""

    key: str
    name: str
    """How the key is called on a keyboard."""
    does: str


class ShownKey(NamedTuple):
    """One key, its line, and the columns that it takes there."""

    key: str
    name: str
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
        self._offered: tuple[OfferedKey, ...] = ()
        self.keys: tuple[ShownKey, ...] = ()

    def on_mount(self) -> None:
        """Follow the keys of the screen from now on."""
        self.screen.bindings_updated_signal.subscribe(self, self._follow)

    def on_resize(self) -> None:
        """Lay the keys out anew: what had room in one line may need two."""
        self._lay_out()

    def _follow(self, screen: Screen[object]) -> None:
        if screen is self.screen and screen.app.app_focus:
            self._offered = _offered(screen)
            self._lay_out()

    def _lay_out(self) -> None:
        keys = _laid(self._offered, self.app.size.width)
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


def _offered(screen: Screen[object]) -> tuple[OfferedKey, ...]:
    """Return the keys of `screen` that are to be seen: one for each action, in their order."""
    offered: dict[str, OfferedKey] = {}
    for _node, binding, _enabled, _tooltip in screen.active_bindings.values():
        if binding.show and binding.action not in offered:
            name = screen.app.get_key_display(binding)
            offered[binding.action] = OfferedKey(binding.key, name, binding.description)
    return tuple(offered.values())


def _laid(keys: tuple[OfferedKey, ...], width: int) -> tuple[ShownKey, ...]:
    """Return where `keys` stand in lines of `width` columns.

    A key that has no room left in one begins the next.
    """
    shown: list[ShownKey] = []
    line = column = 0
    for each in keys:
        length = Content(f" {each.name} {each.does} ").cell_length
        if column and column + length > width:
            line, column = line + 1, 0
        shown.append(ShownKey(*each, line, column, column + length))
        column += length
    return tuple(shown)
