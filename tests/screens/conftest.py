"""The shop that every test of the screens begins with, and how its pilot waits."""

from pathlib import Path

import pytest
from bench import Bench
from settling import settle


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Return a shop with four people, and no job yet."""
    return Bench(tmp_path / "shop")


@pytest.fixture(autouse=True)
def settled(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the pilot wait for the screen to settle, not for the processor to be idle."""
    monkeypatch.setattr("textual.app.wait_for_idle", settle)
    monkeypatch.setattr("textual.pilot.wait_for_idle", settle)
