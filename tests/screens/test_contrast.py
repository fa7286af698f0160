"""Contrast of every text on every scene, in both themes.

4.5:1 is WCAG 2.2, success criterion 1.4.3; relative luminance and ratio by its definitions.
"""

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest
from bay import T1
from bench import Bench, Move, Typed, press
from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from scenes import SCENES
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.screens import shown
from baycompanion.screens.page import Page
from baycompanion.views.card import Piece, Tone
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
        found = palest_text(pilot)
        await pilot.press("ctrl+q")
    return found


@pytest.mark.parametrize("theme", ["bay-dark", "bay-light"])
@pytest.mark.parametrize("scene", SCENES)
def test_every_text_has_a_contrast_of_4_5_to_1(bench: Bench, scene: str, theme: str) -> None:
    ratio, text = asyncio.run(palest(bench, scene, theme))
    assert ratio >= 4.5, f"“{text}” has {ratio:.2f}:1"


# --- what a scene does not show by itself: focus, the mouse, a selection -------------------------

STATES: dict[str, Callable[[Bench], tuple[Path | None, tuple[Move, ...]]]] = {
    "field": lambda bench: (bench.job("gauges"), (*"18,16",)),
    "lines": lambda bench: (bench.job("before"), ("2", Typed("dim"), "enter")),
    "buttons": lambda bench: (bench.job("joins-hold"), ()),
    "danger": lambda bench: (bench.job("disconnect"), ()),
    "form": lambda bench: (bench.job("route"), ("f5", Typed("clip"))),
    "menu": lambda bench: (bench.job("route"), ("f9",)),
    "palette": lambda bench: (bench.job("route"), ("ctrl+p", *"note")),
    "board": lambda bench: (_with_a_job(bench), ()),
    "sums": lambda bench: (bench.job("route"), ("f10",)),
    "outline": SCENES["outline"],
}


def _with_a_job(bench: Bench) -> None:
    bench.job("gauges")


def palest_text(pilot: Pilot[int]) -> tuple[float, str]:
    """Return the least contrast of any text that stands there now, and that text."""
    return min(
        (contrast(segment.style), segment.text)
        for strip in pilot.app.screen._compositor.render_strips()
        for segment in strip
        if segment.style is not None and is_text(segment)
    )


@pytest.mark.parametrize("theme", ["bay-dark", "bay-light"])
@pytest.mark.parametrize("state", STATES)
def test_focus_and_mouse_leave_every_text_readable(bench: Bench, state: str, theme: str) -> None:
    folder, moves = STATES[state](bench)
    found: dict[str, tuple[float, str]] = {}

    async def walk(pilot: Pilot[int]) -> None:
        pilot.app.theme = theme
        await press(pilot, *moves)
        await pilot.app.workers.wait_for_complete()
        screen = pilot.app.screen
        for widget in screen.query("*"):
            if not widget.region or not widget.display or widget.region.area > 900:
                continue
            name = f"{type(widget).__name__} {widget.id}"
            if widget.focusable:
                screen.set_focus(widget)
                await pilot.pause()
                found[f"focus on {name}"] = palest_text(pilot)
            if widget.region in screen.region and not widget.is_container:
                await pilot.hover(widget, offset=(1, 0))
                found[f"mouse on {name}"] = palest_text(pilot)
        if isinstance(pilot.app.focused, Input):
            await press(pilot, "shift+home")
            found["selected"] = palest_text(pilot)

    bench.run(walk, folder, size=(120, 36))
    assert len(found) > 1
    worst = min(found, key=lambda name: found[name])
    assert found[worst][0] >= 4.5, f"{worst}: “{found[worst][1]}” has {found[worst][0]:.2f}:1"


@pytest.mark.parametrize("theme", ["bay-dark", "bay-light"])
def test_what_lies_in_front_for_a_while_is_readable(bench: Bench, theme: str) -> None:
    """A word that passes, a window too small, and the page of an earlier record."""
    found: dict[str, tuple[float, str]] = {}

    async def walk(pilot: Pilot[int]) -> None:
        pilot.app.theme = theme
        for severity in ("information", "warning", "error"):
            pilot.app.notify("A word that passes.", severity=severity, markup=False)  # type: ignore[arg-type]
            await pilot.pause()
            found[severity] = palest_text(pilot)
        pieces = tuple(Piece(tone, "What is said of an earlier job.") for tone in get_args(Tone))
        pilot.app.push_screen(Page(shown.pieces(pieces)))
        await pilot.pause()
        found["page"] = palest_text(pilot)
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        found["too small"] = palest_text(pilot)

    bench.run(walk, bench.job("route"), size=(120, 36))
    assert all(ratio >= 4.5 for ratio, _ in found.values()), found
