"""Contrast of what no scene shows by itself, in both themes; that of the scenes: test_pictures.py.

4.5:1 is WCAG 2.2, success criterion 1.4.3.
"""

from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest
from bench import Bench, Move, Typed, press
from contrast import LEAST, contrast, palest_text
from rich.color import Color, ColorSystem
from rich.style import Style
from scenes import SCENES
from textual.pilot import Pilot
from textual.theme import Theme
from textual.widgets import Input

from baycompanion.screens import shown
from baycompanion.screens.page import Page
from baycompanion.screens.themes import THEMES
from baycompanion.views.card.card import Piece, Tone


def test_the_measure_agrees_with_published_ratios() -> None:
    """Black on white is 21:1 by definition; #767676 on white is 4.54:1, WCAG's own example."""
    assert contrast(Style.parse("#000000 on #ffffff")) == pytest.approx(21)
    assert contrast(Style.parse("#767676 on #ffffff")) == pytest.approx(4.54, abs=0.005)


WORDS = ("danger", *(f"{tone}-word" for tone in ("warning", "caution", "notice", "good", "quiet")))


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_a_terminal_of_256_colours_leaves_every_text_readable(theme: Theme) -> None:
    """It shows the nearest that it has: a shut gate in hand had 4.1:1 in the light theme."""
    inks = [theme.foreground, theme.variables["label-word"], *(theme.variables[w] for w in WORDS)]
    for ink in inks:
        for ground in (theme.background, theme.surface, theme.panel):
            near = [
                Color.parse(each or "").downgrade(ColorSystem.EIGHT_BIT) for each in (ink, ground)
            ]
            assert contrast(Style(color=near[0], bgcolor=near[1])) >= LEAST, f"{ink} on {ground}"


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
                found[f"focus on {name}"] = palest_text(pilot.app)
            if widget.region in screen.region and not widget.is_container:
                await pilot.hover(widget, offset=(1, 0))
                found[f"mouse on {name}"] = palest_text(pilot.app)
        if isinstance(pilot.app.focused, Input):
            await press(pilot, "shift+home")
            found["selected"] = palest_text(pilot.app)

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
            found[severity] = palest_text(pilot.app)
        pieces = tuple(Piece(tone, "What is said of an earlier job.") for tone in get_args(Tone))
        pilot.app.push_screen(Page(shown.pieces(pieces)))
        await pilot.pause()
        found["page"] = palest_text(pilot.app)
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        found["too small"] = palest_text(pilot.app)

    bench.run(walk, bench.job("route"), size=(120, 36))
    assert all(ratio >= 4.5 for ratio, _ in found.values()), found
