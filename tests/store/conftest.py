"""A shop folder with four people in it, and a job of the small procedure."""

from pathlib import Path

import pytest
from bay import keys_in, load_small

from baycompanion.store.job.folder import make_job
from baycompanion.store.shop import Shop, open_shop

STAFF_YAML = """\
staff:
  - {id: T1, role: technician}
  - {id: T2, role: technician}
  - {id: N1, role: trainee}
  - {id: S1, role: supervisor}
"""


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Return a shop that was just made."""
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "staff.yaml").write_text(STAFF_YAML, encoding="utf-8")
    return open_shop(folder)


@pytest.fixture
def folder(shop: Shop) -> Path:
    """Return the folder of a job that was just begun."""
    return make_job(shop.jobs, load_small(), keys_in())
