"""The shop that every test of the screens begins with, and an app that does not dawdle."""

from pathlib import Path

import pytest
import textual.app
import textual.pilot
import textual.screen
from bench import Bench
from quiet import (
    paint_later,
    press_and_paint,
    until_painted,
    until_quiet,
    until_screen_is_quiet,
)
from styles_once import rules_once
from textual._compositor import Compositor
from textual.css.stylesheet import Stylesheet

from baycompanion.screens.typed import code_reader


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Return a shop with four people, and no job yet."""
    return Bench(tmp_path / "shop")


@pytest.fixture(autouse=True)
def no_idling(monkeypatch: pytest.MonkeyPatch) -> None:
    """Wait after a key for what it set going and no longer, paint then, read styles once."""
    monkeypatch.setattr(textual.screen, "UPDATE_PERIOD", 0.001)
    monkeypatch.setattr(textual.app, "wait_for_idle", until_quiet)
    monkeypatch.setattr(textual.pilot, "wait_for_idle", until_painted)
    monkeypatch.setattr(textual.pilot.Pilot, "press", press_and_paint)
    monkeypatch.setattr(textual.pilot.Pilot, "_wait_for_screen", until_screen_is_quiet)
    monkeypatch.setattr(Compositor, "render_update", paint_later)
    monkeypatch.setattr(code_reader, "PACE", 0.005)
    monkeypatch.setattr(Stylesheet, "_parse_rules", rules_once)
