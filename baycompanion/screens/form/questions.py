"""The questions of a form: each takes its Enter at once, and hands on what was typed for the next.

The library sends every key of a burst to the question in hand, before its Enter moves the focus.
"""

from collections.abc import Callable
from typing import Any

from textual.events import Key
from textual.widget import Widget

from baycompanion.screens.listing import Listing
from baycompanion.screens.typed.line_field import LineField

Answered = Callable[[Widget], None]
"""Told of a question whose Enter was pressed."""


class TypedAnswer(LineField):
    """A question that is answered by typing."""

    def __init__(self, answered: Answered, **more: Any) -> None:
        """Make a field; `more` is what the library's own takes."""
        super().__init__(**more)
        self._answered = answered

    def on_key(self, event: Key) -> None:
        """Take Enter, and leave to the next question what was typed for it."""
        _take(self, event, self._answered)


class ChosenAnswer(Listing):
    """A question that is answered from a list."""

    def __init__(self, answered: Answered, *options: Any, **more: Any) -> None:
        """Make a list of `options`; `more` is what the library's own takes."""
        super().__init__(*options, **more)
        self._answered = answered

    def on_key(self, event: Key) -> None:
        """Take Enter, leave to the next question what was typed for it, and go by first letters."""
        if self.screen.focused is self and self._go_by_letter(event.character or ""):
            event.stop()
        else:
            _take(self, event, self._answered)

    def on_resize(self) -> None:
        """Keep the answer in sight where only one line is left of the list."""
        self.call_after_refresh(self.scroll_to_highlight)

    def _go_by_letter(self, letter: str) -> bool:
        """Go to the next answer that begins with `letter`; return whether there is one."""
        if not letter.isalpha():
            return False
        at = (self.highlighted or 0) + 1
        for number in (*range(at, self.option_count), *range(at)):
            said = str(self.get_option_at_index(number).prompt)
            if said.casefold().startswith(letter.casefold()):
                self.highlighted = number
                return True
        return False


def _take(question: Widget, event: Key, answered: Answered) -> None:
    focused = question.screen.focused
    if focused is not question and focused is not None:
        focused.post_message(Key(event.key, event.character))
    elif event.key == "enter":
        answered(question)
    else:
        return
    event.stop()
    event.prevent_default()
