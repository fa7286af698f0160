"""How well a text can be read: the least contrast of any text on a screen.

Relative luminance and ratio by the definitions of WCAG 2.2.
"""

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.app import App

from baycompanion.views.card.signs import GATE_SIGNS, MARKS

LEAST = 4.5
"""To one: WCAG 2.2, success criterion 1.4.3."""

SIGNS = {mark.sign for mark in MARKS.values()} | {sign for sign, _ in GATE_SIGNS.values()}


def luminance(colour: Color) -> float:
    """Return the relative luminance of WCAG 2.2, from 0 for black to 1 for white."""
    parts = [part / 255 for part in colour.get_truecolor()]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(style: Style) -> float:
    """Return the ratio between the text of `style` and its ground, from 1 to 21."""
    assert style.color is not None
    assert style.bgcolor is not None
    lighter, darker = sorted((luminance(style.color), luminance(style.bgcolor)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def is_text(segment: Segment) -> bool:
    return any(letter.isalnum() or letter in SIGNS for letter in segment.text)


def palest_text(app: App[int]) -> tuple[float, str]:
    """Return the least contrast of any text that stands there now, and that text."""
    return min(
        (contrast(segment.style), segment.text)
        for strip in app.screen._compositor.render_strips()
        for segment in strip
        if segment.style is not None and is_text(segment)
    )
