"""The shop that every test of the screens begins with."""

from pathlib import Path

import pytest
from bench import Bench


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Return a shop with four people, and no job yet."""
    return Bench(tmp_path / "shop")
