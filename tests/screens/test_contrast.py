"""Contrast of every text on every scene, in both themes.

4.5:1 is WCAG 2.2, success criterion 1.4.3; relative luminance and ratio by its definitions.
"""

import asyncio

import pytest
from bay import T1
from bench import Bench, press
from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from scenes import SCENES

from baycompanion.views.marks import GATE_SIGNS, MARKS

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


def test_the_measure_agrees_with_published_ratios() -> None:
    """Black on white is 21:1 by definition; #767676 on white is 4.54:1, WCAG's own example."""
    assert contrast(Style.parse("#000000 on #ffffff")) == pytest.approx(21)
    assert contrast(Style.parse("#767676 on #ffffff")) == pytest.approx(4.54, abs=0.005)


async def palest(bench: Bench, scene: str, theme: str) -> tuple[float, str]:
    folder, moves = SCENES[scene](bench)
    app = bench.app(folder, T1)
    async with app.run_test(size=(120, 36)) as pilot:
        app.theme = theme
        await pilot.pause()
        await press(pilot, *moves)
        await pilot.pause()
        found = min(
            (contrast(segment.style), segment.text)
            for strip in app.screen._compositor.render_strips()
            for segment in strip
            if segment.style is not None and is_text(segment)
        )
        await pilot.press("ctrl+q")
    return found


@pytest.mark.parametrize("theme", ["bay-dark", "bay-light"])
@pytest.mark.parametrize("scene", SCENES)
def test_every_text_has_a_contrast_of_4_5_to_1(bench: Bench, scene: str, theme: str) -> None:
    ratio, text = asyncio.run(palest(bench, scene, theme))
    assert ratio >= 4.5, f"“{text}” has {ratio:.2f}:1"
