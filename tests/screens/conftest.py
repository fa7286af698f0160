"""The shop that every test of the screens begins with, and an app that does not dawdle."""

from pathlib import Path

import pytest
import textual.app
import textual.pilot
import textual.screen
from bench import Bench
from quiet import paint_later, until_quiet
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
    for module in (textual.app, textual.pilot):
        monkeypatch.setattr(module, "wait_for_idle", until_quiet)
    monkeypatch.setattr(Compositor, "render_update", paint_later)
    monkeypatch.setattr(code_reader, "PACE", 0.005)
    monkeypatch.setattr(Stylesheet, "_parse_rules", rules_once)
