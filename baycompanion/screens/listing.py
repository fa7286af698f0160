"""A list to choose from; its line in hand is reversed, so that it stands out without colour too."""

from collections.abc import Iterable
from itertools import chain, repeat
from typing import cast

from textual._widget_navigation import Direction
from textual.content import Content
from textual.events import Click, MouseDown
from textual.geometry import Size
from textual.reactive import Reactive
from textual.style import Style
from textual.widgets import OptionList
from textual.widgets.option_list import Option


def by_digit(lines: Iterable[str]) -> list[Option]:
    """Return `lines` to choose from, each behind the digit that chooses it; 0 stands for the tenth.

    Past ten no digit stands: of a number with two, the first would have chosen another line.
    """
    digits = chain("1234567890", repeat(" "))
    return [Option(Content(f"{digit}  {line}")) for digit, line in zip(digits, lines, strict=False)]


class Listing(OptionList):
    """An option list that heeds `reverse` in its styles, which the library (8.2.8) leaves out."""

    auto_links = Reactive(False)
    """There are none; without this the library (8.2.8) looks for their colours."""

    _measured = 0
    """Columns that the lines were measured for last."""

    _bar_stands = False
    """Whether the scroll bar was there at the last layout; until it is, it is not drawn anew."""

    went_down_on: int | None = None
    """The line on which a finger went down last, if it was one."""

    def on_mouse_down(self, event: MouseDown) -> None:
        """Take note of the line that a finger goes down on."""
        self.went_down_on = event.style.meta.get("option")

    def _on_click(self, event: Click) -> None:  # type: ignore[override]
        """Choose nothing where the finger is lifted from another line: it only swept over them."""
        if event.style.meta.get("option") != self.went_down_on:
            event.prevent_default()

    @property
    def in_hand_is_seen(self) -> bool:
        """Whether any of the line in hand is in sight: a wheel scrolls it away and takes none."""
        if self.highlighted not in self._index_to_line:
            return True
        first = self._index_to_line[self.highlighted] - self.scroll_offset.y
        last = first + self._heights[self.highlighted]
        return last > 0 and first < self.scrollable_content_region.height

    def get_visual_style(self, *component_classes: str, partial: bool = False) -> Style:
        """Return the style of a line, reversed where its style sheet asks for it."""
        # The library empties this where a style sheet changes.
        styles = cast("dict[object, Style]", self._visual_style_cache)
        known = (self._pseudo_classes_cache_key, component_classes, partial, "reversed")
        if (style := styles.get(known)) is None:
            style = super().get_visual_style(*component_classes, partial=partial)
            asked = (self.get_component_styles(name).text_style for name in component_classes)
            if any(text_style.reverse for text_style in asked):
                style += Style(reverse=True)
            styles[known] = style
        return style

    def _size_updated(
        self, size: Size, virtual_size: Size, container_size: Size, layout: bool = True
    ) -> bool:
        """Heed a new size, and a scroll bar that has come to stand: how many lines, the list knows.

        The library (8.2.8) holds what its layout takes for that against it, which is never the
        same, and so paints the scroll bar by itself after every layout, 17 ms after all else.
        """
        stood, self._bar_stands = self._bar_stands, self._has_bar
        known = self.virtual_size if stood == self._bar_stands else virtual_size
        return super()._size_updated(size, known, container_size, layout)

    @property
    def _has_bar(self) -> bool:
        return self.show_vertical_scrollbar and self.vertical_scrollbar.is_mounted

    def _update_lines(self) -> None:
        """Measure all lines anew where a scroll bar has taken columns from them, or given back.

        The library (8.2.8) keeps what was measured for wider lines, and cuts their last rows off.
        It asks for this before every row that it paints; mostly all is measured by then.
        """
        columns = self.scrollable_content_region.width
        if columns != self._measured:
            self._measured = columns
            self._clear_caches()
        lines = self._line_cache.lines
        all_of_them = bool(lines) and lines[-1][0] == self.option_count - 1
        if not (all_of_them and self.virtual_size == Size(columns, len(lines))):
            super()._update_lines()

    def _move_page(self, direction: Direction) -> None:
        """Move by a page, once there is room: before it was laid out, a list has no page.

        The library (8.2.8) ends the program where a page key comes as early as that.
        """
        if self.scrollable_content_region:
            super()._move_page(direction)
        else:
            self.call_after_refresh(self._move_page, direction)

    def change_line(self, index: int, prompt: Content) -> None:
        """Let one line say `prompt`, which takes a single row as before.

        The library (8.2.8) measures and draws every line anew where one says something else.
        """
        option = self.get_option_at_index(index)
        option._set_prompt(prompt)
        drawn = self._option_render_cache.keys()
        for stale in [key for key in drawn if key[0] is option]:
            self._option_render_cache.discard(stale)
        self.refresh_line(index)
