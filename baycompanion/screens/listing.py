"""A list whose line in hand is reversed, so that it stands out without colour too."""

from textual.content import Content
from textual.style import Style
from textual.widgets import OptionList


class Listing(OptionList):
    """An option list that heeds `reverse` in its styles, which the library (8.2.8) leaves out."""

    def get_visual_style(self, *component_classes: str, partial: bool = False) -> Style:
        """Return the style of a line, reversed where its style sheet asks for it."""
        style = super().get_visual_style(*component_classes, partial=partial)
        asked = [self.get_component_styles(name).text_style.reverse for name in component_classes]
        return style + Style(reverse=True) if any(asked) else style

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
