"""The questions of a form: each takes its Enter at once, and hands on what was typed for the next.

The library sends every key of a burst to the question in hand, before its Enter moves the focus.
"""

from collections.abc import Callable
from typing import Any

from textual.events import Click, Key, MouseDown
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
        self._typed = ""
        """How the answer begins that is being typed."""
        self._letters = ""
        """All letters since the list was last gone through otherwise, to be told as typed."""
        self.fits_none = ""
        """What was typed, where no answer begins like that: the one in hand was not meant."""
        self._opens = False
        """Whether the finger only opens the list."""

    def focus_on_click(self) -> bool:
        """Take note of a list that was folded before this touch, which has opened it by its end."""
        self._opens = not self.has_focus and self.size.height == 1 < self.option_count
        return super().focus_on_click()

    def on_mouse_down(self, event: MouseDown) -> None:
        """Choose what the finger went down on: until it is lifted, the form may have moved.

        A touch is taken as it is, whatever was typed before it.
        """
        self._typed = self._letters = self.fits_none = ""
        touched = event.style.meta.get("option")
        if touched is not None and not self._opens:
            self.highlighted = touched

    def _on_click(self, event: Click) -> None:  # type: ignore[override]
        """Answer nothing by the touch that opens the list; any other is that of a list."""
        if self._opens:
            event.prevent_default()

    def on_key(self, event: Key) -> None:
        """Take Enter, leave to the next question what was typed for it, and go by what is typed."""
        if self.screen.focused is not self or event.key == "enter":
            _take(self, event, self._answered)
        elif event.key == "pageup" and not self.highlighted:
            self.screen.query_one("#form-fields").scroll_page_up(animate=False)
            event.stop()
            event.prevent_default()
        elif event.is_printable and event.character:
            self._go_by(event.character)
            event.stop()
        else:
            self._typed = self._letters = self.fits_none = ""

    def on_resize(self) -> None:
        """Keep the answer in sight where only one line is left of the list."""
        self.call_after_refresh(self.scroll_to_highlight)

    def type_anew(self) -> None:
        """Begin with the next letter; what fitted none is still no answer."""
        self._typed = self._letters = ""

    def _go_by(self, letter: str) -> None:
        """Go to the answer that begins with all that was typed, or with `letter`.

        One letter goes on to the next answer that begins with it. Once nothing fits, no later
        letter does by itself: a whole id would end at whoever begins with its last digit.
        """
        lost = bool(self.fits_none and self._typed)
        self._typed += letter
        self._letters += letter
        for typed in (self._typed,) if lost else (self._typed, letter):
            at = (self.highlighted or 0) + (len(typed) == 1)
            for number in (*range(at, self.option_count), *range(at)):
                said = str(self.get_option_at_index(number).prompt)
                if said.casefold().startswith(typed.casefold()):
                    self.highlighted, self._typed, self.fits_none = number, typed, ""
                    return
        self.fits_none = self._letters


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
