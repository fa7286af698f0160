"""A shop with three ended jobs and one under way, each of a few events, and its ledger."""

import shutil
from pathlib import Path

import pytest
from bay import LISTS, START, T1, T2, keys_in, load_small

from baycompanion.audit.reading import index
from baycompanion.job.actions import Abandon, Accept, Note
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.photos import copy_photo


def make(shop: Path, order: str, who: Person = T1, end: bool = True) -> Path:
    """Make a job of few events in `shop`, given up in the end, and return its folder."""
    folder = make_job(shop / "jobs", load_small(), keys_in(order, who=who))
    job = OpenJob(folder, LISTS, who, START)
    for action in (Accept(accept="hazards"), Note(note="seen"), Note(note="seen again")):
        job.act(action, who, START)
    if end:
        job.act(Abandon(abandon="the owner took the van"), who, START)
    job.leave()
    return folder


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the shop that all tests copy; nobody writes in it."""
    shop = tmp_path_factory.mktemp("whole") / "shop"
    (shop / "jobs").mkdir(parents=True)
    for order in ("a", "b", "c"):
        make(shop, order, T2 if order == "c" else T1)
    make(shop, "d", end=False)
    return shop


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let what was written just now count as settled in an index, so that no test has to wait."""
    monkeypatch.setattr(index, "TICK", 0)


@pytest.fixture
def shop(whole: Path, tmp_path: Path) -> Path:
    """Return a copy of the shop."""
    return shutil.copytree(whole, tmp_path / "shop")


@pytest.fixture
def photo(shop: Path) -> Path:
    """Make a job with one photo, give it up, and return where the photo lies."""
    folder = make_job(shop / "jobs", load_small(), keys_in("e"))
    job = OpenJob(folder, LISTS, T1, START)
    picture = shop / "bay.png"
    picture.write_bytes(b"a picture")
    job.act(Accept(accept="hazards"), T1, START)
    photo = copy_photo(picture, job.photos)
    for action in (photo, Abandon(abandon="the owner took the van")):
        assert not isinstance(job.act(action, T1, START), Refused)
    job.leave()
    return job.photos / photo.photo
