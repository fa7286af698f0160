"""An app that styles a screen once before it is seen; the library would do so three times.

It reads the sheet of a screen once that stands, and styles all the others anew for it; it finds out
the size when the screen is laid out, and styles the whole of it again for the classes of that size;
and it styles each widget for every class that it gets before it stands anywhere. With some 80 nodes
on the screen of a job, each time is seen on a slow laptop.
"""

from typing import Any

from textual.app import App
from textual.await_complete import AwaitComplete
from textual.dom import DOMNode
from textual.screen import Screen

from baycompanion.screens.too_small import CoveredApp


class StyledOnceApp(CoveredApp):
    """Gives a screen its sheet and the classes of its size before it comes in front."""

    def push_screen(self, screen: Any, *args: Any, **more: Any) -> Any:
        """Put `screen` in front, ready to be styled."""
        _make_ready(self, screen)
        return super().push_screen(screen, *args, **more)

    def switch_screen(self, screen: Screen[Any] | str) -> AwaitComplete:
        """Put `screen`, ready to be styled, in the place of the one in front."""
        _make_ready(self, screen)
        return super().switch_screen(screen)

    def update_styles(self, node: DOMNode, animate: bool = True) -> None:
        """Style `node` anew, unless it stands nowhere yet: it is styled when it is mounted."""
        if node.parent is not None or isinstance(node, App):
            super().update_styles(node, animate)


def _make_ready(app: App[int], screen: Screen[Any] | str) -> None:
    if not isinstance(screen, Screen):
        return
    for path in screen.css_path:  # each is about its own screen alone, so no other needs to know
        if not app.stylesheet.has_source(str(path), ""):
            app.stylesheet.read(path)
    for breakpoints, length in (
        (app.HORIZONTAL_BREAKPOINTS, app.size.width),
        (app.VERTICAL_BREAKPOINTS, app.size.height),
    ):
        reached = [name for least, name in breakpoints or () if least <= length]
        screen.add_class(*reached[-1:], update=False)
