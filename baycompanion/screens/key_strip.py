"""The bottom line: the keys that work here, each a place to touch.

One widget and one text. The footer of the library mounts a widget for each key anew whenever
anything on the screen changes, which costs more than all the rest of answering a step.
"""

from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static


@dataclass(frozen=True, slots=True)
class ShownKey:
    """One key in the line, and the columns that it takes."""

    key: str
    name: str
    """How the key is called on a keyboard."""
    does: str
    begins: int
    ends: int
    """The first column after it."""


class KeyStrip(Static):
    """One line with every key of the screen that is meant to be seen; touching one presses it."""

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

    def _follow(self, screen: Screen[object]) -> None:
        if screen is not self.screen or not screen.app.app_focus:
            return
        keys = _shown(screen)
        if keys != self.keys:
            self.keys = keys
            self.update(
                Content.assemble(
                    *(
                        part
                        for each in keys
                        for part in (
                            (f" {each.name} ", "bold $footer-key-foreground"),
                            f"{each.does} ",
                        )
                    )
                )
            )

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Press the key that was touched."""
        for each in self.keys:
            if each.begins <= event.x < each.ends:
                self.app.simulate_key(each.key)


def _shown(screen: Screen[object]) -> tuple[ShownKey, ...]:
    """Return the keys of `screen` that are to be seen: one for each action, in their order."""
    shown: dict[str, ShownKey] = {}
    column = 0
    for _node, binding, _enabled, _tooltip in screen.active_bindings.values():
        if binding.show and binding.action not in shown:
            name = screen.app.get_key_display(binding)
            ends = column + Content(f" {name} {binding.description} ").cell_length
            shown[binding.action] = ShownKey(binding.key, name, binding.description, column, ends)
            column = ends
    return tuple(shown.values())
