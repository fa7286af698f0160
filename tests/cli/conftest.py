"""A shop that is not the user's own, and a way to type a command line at it."""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from lamp import make_shop

from baycompanion.cli import cli
from baycompanion.store.shop_place import VARIABLE

Run = Callable[..., Result]


@pytest.fixture(autouse=True)
def shop_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make a shop with the lamp procedure, and let it be the one that counts."""
    folder = tmp_path / "shop"
    make_shop(folder)
    monkeypatch.setenv(VARIABLE, str(folder))
    monkeypatch.chdir(tmp_path)
    return folder


@pytest.fixture
def run() -> Run:
    """Return what types a command line and tells what came of it."""

    def typed(*words: str) -> Result:
        return CliRunner().invoke(cli, list(words))

    return typed
