"""A shop with four people, and a way to type lines at a job in it."""

import contextlib
from collections import deque
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from bay import GOOD, LONG_STEPS, S1, T1, keys_in, load_small
from lamp import PICTURE
from listener import Clock, Typist

from baycompanion.job.actions import Accept, Action
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.plain.job import walk_job
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop, open_shop

STAFF = """\
staff:
  - {id: T1, role: technician}
  - {id: T2, role: technician}
  - {id: N1, role: trainee}
  - {id: S1, role: supervisor}
"""

Type = Callable[..., Typist]


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    return open_shop(folder)


@pytest.fixture
def folder(shop: Shop, clock: Clock) -> Path:
    """Return the folder of a job of the small procedure that was just begun."""
    return make_job(shop.jobs, load_small(), keys_in(when=clock()))


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "bay.png"
    path.write_bytes(PICTURE)
    return path


Walk = Callable[..., None]


@pytest.fixture
def walk(shop: Shop, folder: Path, clock: Clock) -> Walk:
    """Return what walks the job on well until a step is in hand, or as far as it goes.

    Other actions for some steps come by their names, with _ for each hyphen.
    """

    def walk_on(to: str | None = None, who: Person = T1, **instead: list[Action]) -> None:
        with contextlib.ExitStack() as given_back:
            job = OpenJob(folder, shop.lists, who, clock())
            given_back.callback(job.leave)
            _walk(job, to, who, instead)

    def _walk(job: OpenJob, to: str | None, who: Person, instead: dict[str, list[Action]]) -> None:
        if job.state.accepted_at is None:
            assert not isinstance(job.act(Accept(accept="hazards"), who, clock()), Refused)
        other = {name.replace("_", "-"): actions for name, actions in instead.items()}
        while (step := job.state.current) is not None and step != to:
            clock.at += LONG_STEPS.get(step, timedelta())
            for action in other.get(step, GOOD[step]):
                clock.move(60)
                by = S1 if step == "second-look" else who
                assert not isinstance(job.act(action, by, clock()), Refused), action
            if job.state.current == step:
                break

    return walk_on


@pytest.fixture
def typing(shop: Shop, folder: Path, clock: Clock) -> Type:
    """Return what types lines at the job until they are all typed, or the job is left."""

    def type_lines(*lines: str) -> Typist:
        typist = Typist(clock, deque(lines))
        with contextlib.suppress(EOFError):
            typist.leaving = walk_job(shop, folder, None, typist, clock)
        return typist

    return type_lines


@pytest.fixture
def journal(folder: Path) -> Callable[[str], dict[str, Any]]:
    """Return what finds the newest event of a kind in the journal of the job, on the disk."""

    def newest(kind: str) -> dict[str, Any]:
        events = [event for event in read_job(folder).events if event.kind == kind]
        assert events, f"no {kind}"
        return {"by": events[-1].by, **events[-1].as_dict()["data"]}

    return newest
